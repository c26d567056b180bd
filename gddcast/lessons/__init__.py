"""Lessons as data: worked days, worksheets, planted errors, an invented year.

Every number comes from the calculators the rest of gddcast uses; these rooms add the words and
the steps, and draw their days from a seed, so that a lesson can be made again to the letter.
"""
