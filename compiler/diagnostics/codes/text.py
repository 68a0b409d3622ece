"""E0 codes: what goes wrong in the text of a file, before it is understood as a job."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E001": CodeInfo(
        "a file that says nothing",
        "The file is empty, or holds only comments. A job begins with `spec: job/1` and a `name`; "
        "a shop file with `spec: shop/1` and `units`.",
    ),
    "E002": CodeInfo(
        "not text in UTF-8",
        "Specs are text in UTF-8, the encoding that editors use unless told otherwise. The file "
        "is another kind of text, or not text at all: a drawing or a program given by mistake, "
        "say. Save it as UTF-8, or name the right file.",
    ),
    "E003": CodeInfo(
        "a control character",
        "The text holds a character that can't be seen and that does something: ends a line for "
        "some readers only, rings a bell, reverses the direction of what follows. What a person "
        "reviews must be what the machine gets, so such characters are refused, written out or "
        'as an escape like "\\x07". Tabs and line ends are fine.',
    ),
    "E004": CodeInfo(
        "not YAML",
        "The text can't be read as YAML. The usual reasons: a tab used to indent, a line that is "
        "indented differently from its neighbours, a quote or bracket that is not closed, a "
        "missing space after a colon. The place given is where reading stopped; the mistake is "
        "there or in the line above.",
    ),
    "E005": CodeInfo(
        "a second document",
        "YAML allows several documents in one file, parted by `---`. A spec is one document: one "
        "job, one shop or one family, so that a file name always means one thing.",
    ),
    "E006": CodeInfo(
        "a key given twice",
        "The same key stands twice in one mapping. Many readers silently take the last; here it "
        "is an error, because one of the two was meant to count and nobody can say which.",
    ),
    "E007": CodeInfo(
        "a tag",
        "YAML tags, as `!!float` or `!thing`, tell a reader to make something special of a value. "
        "This language needs none: the key alone says what a value is. They are refused because "
        "tags are how YAML files come to run code in other programs.",
    ),
    "E008": CodeInfo(
        "a merge key",
        "The merge key `<<` copies one mapping into another. It is not part of YAML 1.2 and hides "
        "where a value was set. For variants of a job write a family, and in each member `from`, "
        "`with` and, where something else must differ, `override`.",
    ),
    "E009": CodeInfo(
        "aliases that lead nowhere or too far",
        "An alias (`*name`) repeats the value that an anchor (`&name`) marked above it. It is "
        "refused where the anchor is missing, where the alias stands inside what it repeats, and "
        "where aliases of aliases would grow to more values than any job has.",
    ),
    "E010": CodeInfo(
        "a file that is too large",
        "A spec is meant to be read by people, and is bounded to 1 MiB. Outlines with very many "
        "points belong in a drawing.",
    ),
    "E011": CodeInfo(
        "too many levels",
        "Mappings and lists stand inside one another to a depth that no key of the language has.",
    ),
    "E012": CodeInfo(
        "a key that is not plain text",
        "YAML allows lists and mappings as keys, and anchors on keys. Here a key is one piece of "
        "text: a word of the language, or a name that the author gives.",
    ),
    "E013": CodeInfo(
        "a number that is none",
        "`.nan` (not a number), `.inf` (infinity) and numbers of very many digits are YAML "
        "numbers, but nothing that a machine could go to.",
    ),
}
