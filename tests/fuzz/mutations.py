"""Every change the fuzz makes to a sheet, in the order in which they act.

Each knows its effect on the sheet's truth, and returns False where it does not apply. Columns come
first, then cells and rows, then the bytes of the file.
"""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.fuzz.cell_changes import (
    bare_decimal_comma,
    blank_cells,
    contradicting_cells,
    decorated,
    gaps_in_the_log,
    garbage,
    garbled_dates,
    missing_marks,
    remark_of_two_lines,
    turned_rows,
    wrong_digits,
)  # fmt: skip
from tests.fuzz.column_changes import (
    column_order,
    loggers,
    only_traps,
    origin_words,
    second_date,
    spare_columns,
    stamped,
    trap_columns,
)  # fmt: skip
from tests.fuzz.damage import cut_end, flipped_byte
from tests.fuzz.row_changes import (
    contradicting_rows,
    dropped_rows,
    footer,
    long_rows,
    lost_cell,
    noise_lines,
    other_header,
    other_unit_below,
    repeated_rows,
    second_header,
    short_rows,
    trailing_marks,
    zeros,
)  # fmt: skip
from tests.fuzz.sheets import Sheet

Mutation = Callable[[Sheet, random.Random], bool]

MUTATIONS: tuple[Mutation, ...] = (
    only_traps, spare_columns, trap_columns, second_date, origin_words, column_order, stamped,
    contradicting_cells, loggers, blank_cells, missing_marks, garbage, wrong_digits, turned_rows,
    bare_decimal_comma, decorated, remark_of_two_lines, short_rows, lost_cell, long_rows,
    contradicting_rows, repeated_rows, dropped_rows, zeros, garbled_dates, other_header,
    other_unit_below, second_header, footer, noise_lines, trailing_marks, cut_end,
    gaps_in_the_log, flipped_byte,
)  # fmt: skip

#: Mutations that any reader must get over: refusing what only they touched is an escape.
MILD: tuple[Mutation, ...] = (
    spare_columns, column_order, missing_marks, repeated_rows, dropped_rows, second_header, footer,
    noise_lines, trailing_marks,
)  # fmt: skip
