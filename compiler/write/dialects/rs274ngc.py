"""RS-274 as NISTIR 6556 defines it (Kramer, Proctor, Messina, NIST 2000).

Sec. 3.1: `%` lines are needed only where a file does not end with M2 or M30; ours does.
Sec. 3.5.3: a full turn is one block, so long as X or Y is written.
Sec. 3.3.2: O is no word of the language, so a program's number stands in a comment.
"""

from compiler.write.dialects.model import Dialect

RS274NGC = Dialect(
    name="rs274ngc",
    title="RS-274 as in NISTIR 6556",
    percent_lines=False,
)
