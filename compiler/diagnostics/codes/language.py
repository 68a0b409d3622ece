"""E1 codes: a file that is YAML but not the language."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E101": CodeInfo(
        "not keys and values",
        "A spec is a mapping: lines of `key: value`. This file holds a list or a single value.",
    ),
    "E102": CodeInfo(
        "not the language expected here",
        "The key `spec` says which language a file is written in: `job/1`, `shop/1` or "
        "`family/1`. The program reads the versions that it knows and refuses others, rather "
        "than guess what a newer one means. `shop` must name a shop file, `from` a family.",
    ),
    "E103": CodeInfo(
        "an unknown key",
        "The key is not part of the language at this place. Unknown keys are never skipped: a "
        "mistyped `allowance` that was ignored would be a ruined part. Keys are spelt in small "
        "letters with `_`; where a known key is very like it, it is suggested.",
    ),
    "E104": CodeInfo(
        "a missing key",
        "The key must be given here; it has no default that would be safe to guess. `units`, for "
        "one, is required in every job and shop file, because 1 may be a millimetre or an inch.",
    ),
    "E105": CodeInfo(
        "a wrong kind of value",
        "The value is of another kind than the key takes: text where a number stands, a single "
        "value where a list belongs, a list where keys belong. Text that looks like a number or "
        'like `true` needs quotes to be text, as a revision `2` written `"2"`.',
    ),
    "E106": CodeInfo(
        "not one of the choices",
        "The key takes one of a few words. The words are those of the trade or of a standard, "
        "and are spelt exactly as listed.",
    ),
    "E107": CodeInfo(
        "a quantity that can't be read",
        "A length is a bare number in the file's `units`, or text with a unit: `6 mm`, `0.25 in`, "
        "`10 thou`, `1-1/4 in`; a fraction like `5/8` is in the file's units. Feeds, speeds, "
        "power and torque carry theirs likewise: `800 mm/min`, `400 ft/min`, `1.5 kW`. A number "
        "in quotes without a unit is refused, because it is neither.",
    ),
    "E108": CodeInfo(
        "a value out of range",
        "The number is of the right kind, but nothing that makes sense here: zero or negative "
        "where a size or speed must be more, or far beyond what a machine could do.",
    ),
    "E109": CodeInfo(
        "a name that is not well formed",
        "Names that the author gives are letters, digits, space, `-` and `_`, begin with a letter "
        "and have at most 40 characters. They go into the program's comments and onto the sheet, "
        "and the job's own name into file names, so they are kept plain.",
    ),
    "E110": CodeInfo(
        "none of several keys",
        "One of a group of keys must be given: a shape needs its kind, a tool its kind or its "
        "place in the crib, a circle its radius or its diameter.",
    ),
    "E111": CodeInfo(
        "keys that exclude one another",
        "Two keys were given that say the same thing in different ways, as `radius` and "
        "`diameter`, or that choose between different things, as two kinds of shape. Were both "
        "taken, one would have to win silently.",
    ),
    "E112": CodeInfo(
        "a key without a value",
        "The key stands there with nothing behind it. Often the value is on the next line but "
        "not indented. A key that is not needed is left out altogether.",
    ),
    "E113": CodeInfo(
        "too few or too many values",
        "A point has two coordinates; a polygon at least three points; a job at least one keep "
        "region, one tool and one pass.",
    ),
    "E114": CodeInfo(
        "text that can't be used here",
        "The text is longer than fits where it will be printed, or has characters that can't "
        "stand there: a block of a program, for one, is plain ASCII.",
    ),
}
