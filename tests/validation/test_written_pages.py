"""The report as a PDF: nothing cropped, nothing on top of its neighbour, the same bytes every time."""

from __future__ import annotations

import itertools

import pytest

from app.draw import pages
from core.validation.document import Section, Table, markdown
from core.validation.report import document

pytestmark = pytest.mark.xdist_group("validation")

LONG = "a case with a very long name that has to be wrapped because it would leave the page " * 3
SMALL = (
    Section(
        title="Title",
        level=1,
        paragraphs=("Words. " * 60, "* one point"),
        tables=(
            Table(
                head=("case", "value", "remark"),
                rows=tuple(("same" if i == 0 else "", f"{i}.0", LONG) for i in range(40)),
                numeric=frozenset({1}),
            ),
        ),
    ),
)


@pytest.fixture(scope="module")
def laid_out() -> list[pages._Page]:
    """Pages of the whole report and of a table with long cells."""
    layout = pages._Layout()
    for section in (*document(), *SMALL):
        layout.section(section)
    return layout.pages


def test_no_word_leaves_the_page(laid_out: list[pages._Page]) -> None:
    assert len(laid_out) > 10
    for page in laid_out:
        assert page.words
        for word in page.words:
            width = pages.measured(word.text, word.size, heavy=word.heavy)
            left = word.x - width if word.right else word.x
            assert left > pages.MARGIN - 2.0, word
            assert left + width < pages.WIDTH - pages.MARGIN + 2.0, word
            assert pages.FOOT - 1.0 < word.y < pages.HEIGHT - pages.MARGIN + 1.0, word


def test_no_word_runs_into_the_next(laid_out: list[pages._Page]) -> None:
    for page in laid_out:
        lines: dict[float, list[tuple[float, float]]] = {}
        for word in page.words:
            width = pages.measured(word.text, word.size, heavy=word.heavy)
            left = word.x - width if word.right else word.x
            lines.setdefault(round(word.y, 2), []).append((left, left + width))
        for line in lines.values():
            line.sort()
            for (_, end), (start, _) in itertools.pairwise(line):
                assert start > end + 1.0


def test_text_is_large_enough_to_read(laid_out: list[pages._Page]) -> None:
    assert min(word.size for page in laid_out for word in page.words) > 5.9


def test_every_page_of_a_table_has_its_head_and_says_whose_rows_they_are() -> None:
    layout = pages._Layout()
    layout.section(SMALL[0])
    assert len(layout.pages) > 1
    for page in layout.pages:
        words = [word.text for word in page.words]
        assert words.count("case") == 1
        assert words.count("same") == 1


def test_two_runs_give_the_same_bytes() -> None:
    first, second = (pages.pdf(SMALL, "A title") for _ in range(2))
    assert first == second
    assert first.startswith(b"%PDF")


def test_markdown_escapes_what_would_break_a_table() -> None:
    table = Table(head=("a", "b"), rows=(("x|y", "1"),), numeric=frozenset({1}))
    text = markdown((Section(title="T", tables=(table,)),))
    assert text == "## T\n\n| a | b |\n|---|---:|\n| x\\|y | 1 |\n"
