"""Thresholds from rearing: days of development at constant temperatures.

``fit`` draws the line to its zero, ``orthogonal`` the one in which both variables may err,
``curves`` the whole rate curve.
"""
