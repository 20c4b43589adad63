"""Self-contained HTML pages without scripts."""

from __future__ import annotations

from html import escape

from scenarios.language import chosen


def html_document(title: str, style: str, body: list[str]) -> str:
    """The page; title: as people read it, style: CSS, body: HTML in which every text is escaped."""
    return (
        f'<!DOCTYPE html>\n<html lang="{chosen().replace("_", "-")}"><head><meta charset="utf-8">'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f"<title>{escape(title)}</title><style>{style}</style></head><body>\n" + "\n".join(body) + "\n</body></html>\n"
    )


def html_table(rows: list[tuple[str, str]]) -> str:
    """A table of two columns, the first with row headings."""
    told = "".join(f"<tr><th>{escape(head)}</th><td>{escape(text)}</td></tr>" for head, text in rows)
    return f"<table>{told}</table>"
