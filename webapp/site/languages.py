"""Languages: the words of the content as flask-babel's translations, and which language somebody asks for.

The language of a page stands in its address and nowhere else; only `/`, which is no page, looks at what a browser prefers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from typing import Any

from babel import Locale
from babel.dates import format_date
from babel.support import NullTranslations
from flask import Flask, g
from flask_babel import Babel, Domain, force_locale, get_locale
from werkzeug.datastructures import LanguageAccept
from werkzeug.http import parse_accept_header

from ..errors import Told

DEFAULT = "en"

_FIELD = re.compile(r"\{([a-z_]+)\}")
_LONGEST_HEADER = 500


class MissingWord(Told, LookupError):
    """A page asks for a word that no file of content/words/ has, or leaves out one of its fields."""


class Catalogue(NullTranslations):
    """The words of one language in the form that flask-babel hands around."""

    def __init__(self, lang: str, words: Mapping[str, str]) -> None:
        super().__init__()
        self.lang, self.words = lang, words

    def gettext(self, message: str) -> str:
        """The text under a key, its fields not yet filled in. Raises MissingWord."""
        try:
            return self.words[message]
        except KeyError:
            raise MissingWord(
                f'"{message}" is not among the words of "{self.lang}". Add it to a file of content/words/.'
            ) from None

    ugettext = gettext


class WordsDomain(Domain):
    """flask-babel's domain over the words of the content; there are no catalogue files to load."""

    def __init__(self, words: Mapping[str, Mapping[str, str]]) -> None:
        super().__init__(domain="words")
        self._catalogues = {str(locale_of(lang)): Catalogue(lang, texts) for lang, texts in words.items()}

    def get_translations(self) -> Catalogue:
        return self._catalogues[str(get_locale())]

    def gettext(self, string: str, **variables: object) -> str:
        """The text under a key with its {fields} filled in. Raises MissingWord.

        Never `%` formatting, as the library would do it: many of our texts hold a per cent sign.
        """
        return fill(self.get_translations().gettext(string), string, variables)


class WordsBabel(Babel):
    """Babel whose default domain is the words of the content."""

    def __init__(self, app: Flask, words: Mapping[str, Mapping[str, str]]) -> None:
        self._words_domain = WordsDomain(words)
        super().__init__(
            app,
            configure_jinja=False,
            default_locale=DEFAULT,
            default_domain="words",
            locale_selector=_language_of_address,
        )
        app.jinja_env.globals["_"] = self._words_domain.gettext

    @property
    def domain_instance(self) -> WordsDomain:
        return self._words_domain


def fill(text: str, key: str, fields: Mapping[str, object]) -> str:
    """`text` with each {field} replaced. Raises MissingWord for a field that is not given."""
    try:
        return _FIELD.sub(lambda found: str(fields[found[1]]), text)
    except KeyError as missing:
        raise MissingWord(
            f'"{key}" has the field {missing}, which the page does not give. Give it, or correct the text.'
        ) from None


@contextmanager
def speaking(lang: str) -> Iterator[Locale]:
    """Within it, `_` speaks `lang`. Needs an application context."""
    locale = locale_of(lang)
    g.language = lang
    with force_locale(locale):
        yield locale


def _language_of_address() -> str:
    return str(locale_of(g.get("language", DEFAULT)))


def locale_of(lang: str) -> Locale:
    """Babel's locale for a language as addresses write it ('en', 'pt-BR')."""
    return Locale.parse(lang, sep="-")


def direction_of(lang: str) -> str:
    """'ltr' or 'rtl'."""
    return str(locale_of(lang).text_direction)


def name_of(lang: str) -> str:
    """The language's name in that language, as a reader who knows no other would look for it."""
    locale = locale_of(lang)
    name = locale.get_display_name(locale) or lang
    return name[:1].upper() + name[1:]


def written_day(lang: str, day: str) -> str:
    """An ISO date as the language writes it, '' for ''."""
    return format_date(date.fromisoformat(day), "medium", locale_of(lang)) if day else ""


def in_order(texts: Mapping[str, Any]) -> list[str]:
    """The languages of a Book, the one that everything is written in first."""
    return sorted(texts, key=lambda lang: (lang != DEFAULT, lang))


def preferred(header: str, languages: Sequence[str]) -> str:
    """The language of ours that an Accept-Language header likes best, else the first.

    The library's own matching is not used: it takes `en` before `de` for 'de-AT,en;q=0.5', as only the former fits to the letter.
    """
    for tag, quality in parse_accept_header(header[:_LONGEST_HEADER], LanguageAccept):
        if quality > 0 and (found := _nearest(tag.lower(), languages)):
            return found
    return languages[0]


def _nearest(tag: str, languages: Sequence[str]) -> str | None:
    """The very language, or one that differs only by region or script."""
    exact = (lang for lang in languages if lang.lower() == tag)
    alike = (lang for lang in languages if lang.lower().partition("-")[0] == tag.partition("-")[0])
    return next(exact, None) or next(alike, None)
