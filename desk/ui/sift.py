"""Which findings are wanted in the list: by status, by family, by part and by words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

from desk.checks.finding import Finding
from desk.units import Unit
from desk.views.wording import because_words, title_words


@dataclass(frozen=True)
class Sift:
    """What is asked for; "" asks for all. A muted finding has the status "muted" here, whatever was found."""

    text: str = ""
    status: str = ""
    family: str = ""
    part: str = ""

    @property
    def active(self) -> bool:
        """Whether anything is asked for."""
        return any(getattr(self, field.name).strip() for field in fields(self))

    def passes(self, finding: Finding, labels: Mapping[str, str], unit: Unit = "mm") -> bool:
        """Whether a finding is wanted; ``labels`` are those of parts by id, ``unit`` what lengths are shown in.

        Every word has to occur in its title, its formula, its family, its reason for being muted or the labels of
        its parts, in small or capital letters.
        """
        if self.status and self.status != status_of(finding):
            return False
        if (self.family and self.family != finding.family) or (self.part and self.part not in finding.parts):
            return False
        words = self.text.casefold().split()
        if not words:
            return True
        named = (labels.get(key, key) for key in finding.parts)
        title, because = title_words(finding, unit), because_words(finding, unit)
        said = (title, because, finding.family, finding.check, finding.muted, *named)
        text = " ".join(said).casefold()
        return all(word in text for word in words)


def status_of(finding: Finding) -> str:
    """The heading a finding is listed under."""
    return "muted" if finding.muted else finding.status
