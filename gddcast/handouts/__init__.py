"""Doors out: text, JSON and files for people. They say what they are given and decide nothing."""
