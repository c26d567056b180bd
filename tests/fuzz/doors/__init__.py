"""Files of every reader but that of temperatures, written with what they say known.

A kind of file is one module with a function that takes a source of chance and returns a
`KnownFile`, and one row of `tests.fuzz.fuzz_doors.DOORS`.
"""
