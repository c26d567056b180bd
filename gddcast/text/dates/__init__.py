"""Dates of the plan: the walk, the weeks ahead, the reasons, the plants, nothing due."""
