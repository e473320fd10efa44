from build123.problem import Finding, Findings, Place, Severity, Source, Span
from build123.problem.render_text import count, render_text


def at(text: str, word: str, name: str = "spec.yaml") -> Span:
    line, column = next((n, row.index(word)) for n, row in enumerate(text.split("\n")) if word in row)
    return Span(Source(name, text), line, column, line, column + len(word))


def one_error(text: str, word: str, **more: str) -> str:
    found = Findings()
    found.error("unknown-part", f"there is no part {word!r}", at(text, word), **more)
    return render_text(found)


def test_an_error_shows_its_place_its_excerpt_and_what_to_change():
    text = "joints:\n  - dado: {of: shelv, in: side}\n"
    assert one_error(text, "shelv", label="did you mean shelf?", change="write shelf") == (
        "spec.yaml:2:16: error[unknown-part]: there is no part 'shelv'\n"
        "    2 |   - dado: {of: shelv, in: side}\n"
        "      |                ^~~~~ did you mean shelf?\n"
        "  change: write shelf\n"
        "\n"
        "1 error\n"
    )


def caret(rendered: str) -> tuple[int, int]:
    """Terminal columns of the excerpt's marked word and of the caret, both counted as a terminal counts them."""
    import unicodedata

    def columns(text: str) -> int:
        return sum(2 if unicodedata.east_asian_width(c) in "WF" else 0 if unicodedata.combining(c) else 1 for c in text)

    lines = rendered.split("\n")
    excerpt, under = lines[1], lines[2]
    return columns(excerpt[: excerpt.index("shelv")]), columns(under[: under.index("^")])


def test_the_caret_stands_under_the_word_after_tabs_wide_signs_and_accents():
    for line in ("\tof: shelv", "a\tof: shelv", "木の箱: shelv", "e\u0301te\u0301: shelv"):
        word, mark = caret(one_error(line, "shelv"))
        assert word == mark, line


def test_a_long_line_is_cropped_around_the_place():
    rendered = one_error("x" * 5000 + " shelv " + "y" * 5000, "shelv")
    assert all(len(line) <= 120 for line in rendered.split("\n"))
    word, mark = caret(rendered)
    assert word == mark


def test_terminal_codes_of_a_spec_come_out_as_text():
    rendered = one_error("piece: \x1b[2J\x9b31m\u202e\u200b shelv\r", "shelv") + one_error("a\x07b", "a\x07b")
    assert not any(c in rendered for c in "\x1b\x9b\u202e\u200b\r\x07")
    assert "␛[2J<U+009B>31m<U+202E><U+200B> shelv" in rendered
    word, mark = caret(rendered)
    assert word == mark


def test_a_place_past_the_end_and_one_of_many_lines_are_shown_too():
    source = Source("spec.yaml", "a: 1\nb: {\n  c: 2\n")
    findings = [
        Finding("yaml-syntax", Severity.error, "ends too early", (Place(Span(source, 9, 0, 9, 0), "here"),)),
        Finding("two-of-one-name", Severity.error, "is long", (Place(Span(source, 1, 3, 3, 0), "all of it"),)),
    ]
    rendered = render_text(findings)
    assert "    4 |\n      | ^ here\n" in rendered
    assert "    2 | b: {\n      |    ^ all of it (to line 4)\n" in rendered


def test_a_file_that_could_not_be_read_has_no_excerpt():
    found = Findings()
    found.error("file-missing", "there is no file x.yaml", Span(Source("x.yaml", ""), 0, 0, 0, 0))
    assert render_text(found) == "x.yaml:1:1: error[file-missing]: there is no file x.yaml\n\n1 error\n"


def test_errors_come_first_waived_ones_last_and_a_reason_is_said_once():
    text = "- dado: {of: shelf, in: side}"
    place = (Place(at(text, "dado")),)

    def finding(id: str, severity: Severity, message: str, waived: str = "") -> Finding:
        return Finding(id, severity, message, place, why=f"{id} matters", change=f"mend {message}", waived=waived)

    rendered = render_text(
        [
            finding("thin", Severity.warning, "thin one"),
            finding("open", Severity.error, "accepted one", waived="looked at it"),
            finding("open", Severity.error, "open one"),
            finding("thin", Severity.warning, "thin two"),
            finding("near", Severity.note, "near one"),
        ]
    )
    order = [rendered.index(word) for word in ("open one", "thin one", "thin two", "near one", "accepted one", "looked at it")]
    assert order == sorted(order)
    assert rendered.count("thin matters") == 1
    assert rendered.count("mend thin one") == rendered.count("mend thin two") == 1
    assert rendered.count("| - dado") == 4, "findings of one id at one place share its excerpt"
    assert rendered.endswith("1 error, 2 warnings, 1 note, 1 waived\n")


def test_findings_of_one_place_show_their_further_places_after_it():
    text = "- dado: {of: shelf, in: side}\nside: 1\nshelf: 2\nrail: 3"
    joint, side, rail = (Place(at(text, word), word) for word in ("dado", "side: 1", "rail"))
    rendered = render_text([Finding("open", Severity.error, "one", (joint, side)), Finding("open", Severity.error, "two", (joint, rail))])
    marks = [line.split("^")[1].strip("~ ") for line in rendered.split("\n") if "^" in line]
    assert marks == ["dado", "side: 1", "rail"]


def test_where_it_is_in_the_piece_is_told_in_the_piece_s_units():
    finding = Finding("open", Severity.error, "stands off", at_mm=(25.4, 0.0, 50.8))
    assert "at: x 1 in, y 0 in, z 2 in" in render_text([finding], show=lambda mm: f"{mm / 25.4:g} in")


def test_no_findings_are_no_text():
    assert render_text([]) == ""
    assert count([]) == "no findings"
