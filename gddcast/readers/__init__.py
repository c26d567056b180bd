"""Doors in: files become the types of the garden, and every fault in them gets its cure."""
