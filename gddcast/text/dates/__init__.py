"""Dates of the plan: the walk, the weeks ahead, the reasons, plants, and when nothing is due."""
