"""The validation page: `python -m tests.published.page` writes it anew from every published value."""

from itertools import groupby
from pathlib import Path

from tests.published.value import LETTERS, PublishedValue
from tests.published.values import VALUES

PAGE = Path(__file__).with_name("validation.md")


def _section(value: PublishedValue) -> str:
    return value.key.split("/", maxsplit=1)[0]


def _row(value: PublishedValue) -> str:
    given = value.compute()
    numbers = f"{value.expected:.4g} | {given:.4g} | {given - value.expected:+.2g} | ±{value.tolerance:.2g}"
    return f"| {value.what} | {value.source} | {value.letter} | {value.unit} | {numbers} |"


def render() -> str:
    """The whole page as Markdown."""
    lines = [
        "# Lukewarm against outside sources",
        "",
        "Made by `python -m tests.published.page`; the tests fail when it is out of date or a deviation exceeds its",
        "tolerance. The letter says how well the source was seen:",
        "",
        *(f"- **{letter}**: {meaning}." for letter, meaning in LETTERS.items()),
    ]
    for section, values in groupby(sorted(VALUES, key=_section), key=_section):
        lines += ["", f"## {section.capitalize()}", ""]
        lines += ["| what | source | letter | unit | outside | Lukewarm | deviation | tolerance |"]
        lines += ["|---|---|---|---|---|---|---|---|"]
        lines += [_row(value) for value in values]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(render(), encoding="utf-8", newline="\n")
    print(f"{PAGE.name}: {len(VALUES)} values")
