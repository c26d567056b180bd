"""Lessons: worked days, worksheets, rearing jars."""
