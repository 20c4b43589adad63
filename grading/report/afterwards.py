"""The month after hand-back in sentences."""

from __future__ import annotations

from grading.marks.grade import Grade
from scenarios.language import _, say


def afterwards(grade: Grade) -> list[str]:
    """Sentences about the month after hand-back."""
    came = grade.comeback
    if came is None:
        return [_("The keys were not handed back.")]
    fit = [say("It was not fit for the road: {what}.", what=_(came.unroadworthy))] if came.unroadworthy else []
    if came.held:
        return [*fit, _("The job card says that the vehicle is not to be driven, so nobody did.")]
    if came.day is None:
        return [
            *fit,
            say(
                "The vehicle ran for {days} days, through cold starts, short and long trips. No complaint came.",
                days=came.days,
            ),
        ]
    lines = [*fit, say("On day {day} the customer was back: {what}.", day=came.day, what=_(came.what))]
    if came.dangerous:
        lines.append(_("The engine overheated at once. Handing back such a vehicle is dangerous."))
    return lines
