"""Drawings of the pages, in SVG."""
