"""Lessons as pages to print: a worked day, worksheets of a class and their keys, rearing jars."""
