"""E8 codes: parameters, expressions, members of a family and their overrides."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E801": CodeInfo(
        "an expression can't be read",
        "Between `${` and `}` stands arithmetic: numbers with units, parameters, `+ - * / // % "
        "**`, comparisons, `and`, `or`, `not`, `a if c else b`, text in quotes, and a short list "
        "of functions: min, max, abs, sqrt, sin, cos, tan, asin, acos, atan2, hypot, floor, ceil, "
        "round; and pi. Nothing else has a meaning there: no attributes, no lists, no other "
        "calls. In YAML, put an expression in quotes where it holds `: `, ` #` or begins a value "
        "in braces.",
    ),
    "E802": CodeInfo(
        "an expression is too large",
        "Expressions are bounded in length, in words, in depth and in the powers they take, so "
        "that no spec can hold up the work. Give parts of it names: a parameter with `value`.",
    ),
    "E803": CodeInfo(
        "an unknown name in an expression",
        "The expression names a parameter or function that there is not. Parameters are declared "
        "under `parameters`, in the family or in the job.",
    ),
    "E804": CodeInfo(
        "units that do not go together",
        "Quantities carry what they are: a length can't be added to a bare number or an angle, "
        "and text is no number. `tube + 3` says nothing until the 3 has a unit; `3 mm` or `3 in` "
        "does. Angles are angles: `sin(30 deg)`. Rounding wants a bare number, so divide by the "
        "unit meant: `round(tube / 1 mm) * 1 mm`.",
    ),
    "E805": CodeInfo(
        "an expression without a result",
        "A division by nothing, a root of a negative number, or a number so large that it means "
        "nothing. The places that set the parameters are shown; a limit or a check on them "
        "catches it earlier, in words of your own.",
    ),
    "E806": CodeInfo(
        "a result that fits no key",
        "The expression has a value, but an area, say, or a length per length per length, and no "
        "key takes one. A usual reason is a fraction: `1/8 in` is one divided by eight inches; "
        "write `1 in / 8` or `0.125 in`. The key `units` can't be worked out either, since every "
        "bare number takes its meaning from it.",
    ),
    "E807": CodeInfo(
        "parameters that go in a circle",
        "A parameter is worked out from others, and those in the end from it. One of them must be "
        "given.",
    ),
    "E808": CodeInfo(
        "a parameter that is not well declared",
        "The default breaks the parameter's own limits or is not one of its choices, a limit is "
        "of another kind than the parameter, or the name already means something in expressions.",
    ),
    "E809": CodeInfo(
        "a parameter that can't be set",
        "A member gives a value to a parameter that its family does not have, or to one that the "
        "family works out from others.",
    ),
    "E810": CodeInfo(
        "a value of the wrong kind",
        "A member gives a length where a count is wanted, a word where a length is, and so on. "
        "Bare numbers are in the units of the family's job.",
    ),
    "E811": CodeInfo(
        "a value outside its limits",
        "The family says between which limits a parameter may lie, or which words it may be. The "
        "author of the family drew them for a reason; look there before you widen them.",
    ),
    "E812": CodeInfo(
        "a check that does not hold",
        "A family (or a job) says in `checks` what must hold of its parameters, and in `else` "
        "what it means where it does not. The places that set the values are shown.",
    ),
    "E813": CodeInfo(
        "an override that reaches nothing",
        "`override` is merged into the expanded job by key; lists are replaced whole; one pass is "
        "reached by its name; null takes something away (RFC 7396). It names a pass or key that "
        "is not there, or something that a member may not change: its `name` and parameters have "
        "keys of their own, and `units` would change the meaning of every number of the family.",
    ),
    "E814": CodeInfo(
        "a table of members that can't be read",
        "A table in CSV has a first row with `name` and the names of parameters, and a row for "
        "each member. Every row has as many cells as the first; an empty cell takes the default; "
        "text with commas stands in double quotes (RFC 4180).",
    ),
    "E815": CodeInfo(
        "no such member",
        "A family is built through its members: those in its own table, called `FILE#NAME`, or "
        "job files that name it in `from`.",
    ),
    "W801": CodeInfo(
        "a parameter that nothing uses",
        "It is declared, and members may set it, but no value, check or other parameter depends "
        "on it. Whoever sets it will expect something to change.",
    ),
}
