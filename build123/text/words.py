"""What the YAML parser says of a syntax error, in plain words."""

from __future__ import annotations

# Both of PyYAML's parsers are covered; the first entry whose key stands in the parser's text is taken.
_PLAIN: tuple[tuple[str, str, str], ...] = (
    (
        "could not find expected ':'",
        "a colon is missing here, or the line above is not finished",
        "write `key: value`, with a space after the colon",
    ),
    (
        "mapping values are not allowed",
        "a second colon stands in this line, or it is indented under something that already has a value",
        "start a new line for each key; put quotes around a value that holds a colon and a space",
    ),
    (
        "did not find expected key",
        "this line is not indented like its neighbours, or a bracket, quote or colon is missing just above",
        "line it up with the other keys",
    ),
    (
        "expected <block end>",
        "this line is not indented like its neighbours, or a bracket, quote or colon is missing just above",
        "line it up with the other keys",
    ),
    (
        "did not find expected '-' indicator",
        "this line stands in a list but does not start with a dash",
        "start it with `- `, or indent it under the entry above",
    ),
    ("did not find expected ',' or '}'", "a comma or the closing `}` is missing", "close the bracket, or put a comma between the entries"),
    ("expected ',' or '}'", "a comma or the closing `}` is missing", "close the bracket, or put a comma between the entries"),
    ("did not find expected ',' or ']'", "a comma or the closing `]` is missing", "close the bracket, or put a comma between the entries"),
    ("expected ',' or ']'", "a comma or the closing `]` is missing", "close the bracket, or put a comma between the entries"),
    ("unexpected end of stream", "a quote is opened and never closed", "close the quote on the same line"),
    ("unexpected document separator", "a quote is opened and never closed", "close the quote before the `---`"),
    (
        "block sequence entries are not allowed",
        "a list cannot start here",
        "put the `- ` on a line of its own, or write the list as `[a, b]`",
    ),
    ("sequence entries are not allowed", "a list cannot start here", "put the `- ` on a line of its own, or write the list as `[a, b]`"),
    ("block mapping entries are not allowed", "a key cannot start here", "put it on a line of its own"),
    ("mapping keys are not allowed", "a key cannot start here", "put it on a line of its own"),
    (
        "expected <document start>",
        "this does not belong to what stands above it",
        "indent it under its key, or start a new piece with `---`",
    ),
    (
        "unknown escape character",
        "a backslash in double quotes starts an escape that YAML does not know",
        "use single quotes, or write the backslash twice",
    ),
    ("did not find expected hexdecimal", "an escape in double quotes is not finished", "use single quotes"),
    ("expected escape sequence", "an escape in double quotes is not finished", "use single quotes"),
    ("cannot start any token", "a value cannot start with this character", "put quotes around the value"),
    ("undefined tag handle", "words that start with `!` mean something else in YAML", "put quotes around the value"),
    (
        "expected the node content",
        "a value is missing here, or a character that means something else in YAML stands in its place",
        "put the value here, with quotes around it if it starts with one of `- ? : , [ ] { } # & * ! | > ' \" % @`",
    ),
    (
        "did not find expected node content",
        "a value is missing here, or a character that means something else in YAML stands in its place",
        "put the value here, with quotes around it if it starts with one of `- ? : , [ ] { } # & * ! | > ' \" % @`",
    ),
    ("alphabetic or numeric character", "words that start with `&` or `*` mean something else in YAML", "put quotes around the value"),
    ("duplicate %YAML directive", "`%YAML` stands here twice", "take the line out"),
    ("incompatible YAML document", "this version of YAML is not read", "take the `%YAML` line out"),
    ("chomping or indentation indicators", "something stands behind the `|` or `>`", "start the text on the next line"),
    ("indentation indicator", "something stands behind the `|` or `>`", "start the text on the next line"),
    ("expected comment or line break", "something stands behind a quote, a `|` or a `>`", "start the text on the next line"),
    ("directive", "a line that starts with `%` means something else in YAML", "take the line out, or put quotes around the value"),
)


def plain_words(problem: str, context: str, character: str) -> tuple[str, str]:
    """What is wrong and what to change, for the two texts of a PyYAML error and the character it points at.

    The parser's own words where they are not known.
    """
    if character and character in "]}" and ("expected key" in problem or "expected <" in problem):
        return f"this `{character}` closes nothing", "take it out, or open the bracket before it"
    if character == ":" and "expected key" in problem:
        return "a key is missing before this colon", "write `key: value`"
    said = f"{context} {problem}"
    for key, words, change in _PLAIN:
        if key in said:
            return words, change
    return f"the YAML cannot be read: {problem or context}", ""
