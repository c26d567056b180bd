"""Dates of the plan: the walk, the weeks ahead, the reasons, the plants, and when nothing is due."""
