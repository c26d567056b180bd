"""Several farms on one day: who is due where, whose record needs an eye, who can't be read.

It knows each farm by what its place says, a ``today.Today`` somebody else opened.
"""
