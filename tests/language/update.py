"""``python -m tests.language.update``: brings the translators' files up to date and compiles them.

Every text marked in the code and every text of the packaged catalogue that people read goes into
``scenarios/languages/CODE/LC_MESSAGES/lukewarm.po``; what is new has no translation yet, what is gone is dropped. The
``.mo`` file beside it is what the program reads. American English is made from a table (``tests.language.american``)
and holds only what differs; so are the sentences of drawn jobs.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from scenarios.language import AMERICAN, DOMAIN, ENGLISH, FOLDER, LANGUAGES
from tests.language.american import BY_HAND, american
from tests.language.texts import catalogue_texts, instrument_texts, sense_texts

ROOT = Path(__file__).parents[2]
DRAWN_WORDS = ROOT / "grading" / "drawing" / "words"
TRANSLATED = sorted(set(LANGUAGES) - {ENGLISH, AMERICAN})
"""Languages with a translation of every text."""
PACKAGES = ("sim", "scenarios", "grading", "tui")
KEYWORDS = {"DriveError": None, "_": None, "N_": None, "say": None, "Message": None, "plural": (2, 3), "Binding": (3,)}
HEADER = """# Translations of Lukewarm. Bring up to date and compile with: python -m tests.language.update
#"""


def sources() -> list[Path]:
    """Every module of the packages."""
    return [path for package in PACKAGES for path in sorted((ROOT / package).rglob("*.py"))]


def code_texts() -> Iterator[tuple[str | tuple[str, ...], str]]:
    """Every text marked in the code, singular and plural together, and the module it stands in."""
    for path in sources():
        with path.open("rb") as file:
            for _line, text, _comments, _context in extract("python", file, KEYWORDS):
                yield (text if isinstance(text, str) else tuple(text)), path.relative_to(ROOT).as_posix()


def template() -> Catalog:
    """All texts, without a translation."""
    found = Catalog(fuzzy=False)
    for text, where in [*code_texts(), *instrument_texts(), *sense_texts(), *catalogue_texts()]:
        if text:
            found.add(text, locations=[(where, 1)] if where.endswith(".py") else (), auto_comments=_comment(where))
    return found


def _comment(where: str) -> list[str]:
    return [] if where.endswith(".py") else [where]


def po_path(code: str) -> Path:
    """The translators' file of a language."""
    return FOLDER / code / "LC_MESSAGES" / f"{DOMAIN}.po"


def read(code: str) -> Catalog:
    """The translations of a language as they stand."""
    with po_path(code).open("rb") as file:
        return read_po(file, locale=code, domain=DOMAIN)


def merged(code: str) -> Catalog:
    """The translations of a language for the texts there are now."""
    known, out = read(code), _Dateless(locale=code, domain=DOMAIN, header_comment=HEADER, fuzzy=False)
    for message in template():
        if message.id:
            before = known.get(message.id)
            out.add(
                message.id,
                before.string if before is not None and not before.fuzzy else None,
                locations=message.locations,
                auto_comments=message.auto_comments,
            )
    return out


def merged_american() -> Catalog:
    """The texts that differ in American English: those written by hand, and what the table makes of the others."""
    kept, out = read(AMERICAN), _Dateless(locale=AMERICAN, domain=DOMAIN, header_comment=HEADER, fuzzy=False)
    for message in template():
        if not message.id:
            continue
        before = kept.get(message.id)
        by_hand = before is not None and BY_HAND in before.user_comments
        made = american(message.id) if isinstance(message.id, str) else tuple(map(american, message.id))
        if by_hand or made != message.id:
            out.add(
                message.id,
                before.string if before is not None and by_hand else made,
                locations=message.locations,
                auto_comments=message.auto_comments,
                user_comments=[BY_HAND] if by_hand else [],
            )
    return out


def american_words() -> str:
    """The sentences of drawn jobs in American English."""
    return american((DRAWN_WORDS / f"{ENGLISH}.yaml").read_text(encoding="utf-8"))


class _Dateless(Catalog):
    """A catalog whose header holds nothing that changes from day to day or with the tool."""

    @property
    def mime_headers(  # pyright: ignore[reportIncompatibleVariableOverride, reportIncompatibleMethodOverride]
        self,
    ) -> list[tuple[str, str]]:
        """What a reader must know."""
        return [
            ("Language", str(self.locale)),
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Transfer-Encoding", "8bit"),
            ("Plural-Forms", self.plural_forms),
        ]


def as_po(catalog: Catalog) -> bytes:
    """The translators' file."""
    out = io.BytesIO()
    write_po(out, catalog, width=120, include_lineno=False)
    return out.getvalue()


def as_mo(catalog: Catalog) -> bytes:
    """The compiled file."""
    out = io.BytesIO()
    write_mo(out, catalog)
    return out.getvalue()


def main() -> None:
    """Update and compile every language but English, and say how many texts want a translation."""
    for code in TRANSLATED:
        catalog = merged(code)
        _write(code, catalog)
        missing = [message.id for message in catalog if message.id and not message.string]
        print(f"{code}: {len(catalog)} texts, {len(missing)} without a translation")
    catalog = merged_american()
    _write(AMERICAN, catalog)
    (DRAWN_WORDS / f"{AMERICAN}.yaml").write_text(american_words(), encoding="utf-8", newline="\n")
    print(f"{AMERICAN}: {len(catalog)} texts that differ")


def _write(code: str, catalog: Catalog) -> None:
    po_path(code).write_bytes(as_po(catalog))
    po_path(code).with_suffix(".mo").write_bytes(as_mo(catalog))


if __name__ == "__main__":
    main()
