"""Tags that hang on a finished joint: its earliest times, what was done, or that it is abandoned, not cut.

In: a `View`. Out: sheets of one face each: the front of a tag, then its back. Vocabulary: an *abandoned*
saddle is fused and capped, and the main under it stays whole; its tag says so on both faces, so that it never
hangs with its words to the wall.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packgen.sheets.blocks import Box, Boxes, Sheet, Tag, Why, spans
from packgen.sheets.ladder import RUNGS, earliest_words
from packgen.sheets.media import Medium, card_medium
from packgen.sheets.view import View

# What a fuser writes on a tag; working pressure and backfill are the joint record's.
_TIMES = RUNGS[:3]


def tag_medium(form: str) -> Medium:
    """A tag's face: its title is a little larger than a card's of the same form."""
    of = card_medium(form)
    return replace(of, title=max(of.title, 14.0))


def tag_sheets(view: View) -> tuple[Sheet, ...]:
    """Both faces of the tag of a cooling joint; of a saddle also both of the tag of an abandoned one."""
    faces = [_cooling(view), _done(view)]
    if not view.request.is_coupling:
        faces += [_abandoned(view)] * 2
    return tuple(faces)


def _cooling(view: View) -> Sheet:
    """Who fused the joint and when, and before when nobody touches it."""
    words = view.words
    joint = () if view.request.joint else ("joint",)
    fused = Boxes((*_named(view, *joint, "fused_by", "fusion_end"), *_earliest(view)))
    leave = Why(spans(words("saddle_tag.leave"), "strong"))
    hotter = words("saddle_tag.hotter", earliest=earliest_words(view))
    said = (leave, fused, Why(spans(hotter), small=True))
    return Sheet("saddle-tag", words("saddle_tag.cooling"), _tag(view), said)


def _earliest(view: View) -> Iterator[Box]:
    """A box for each earliest time, with what is added to fusion end; nothing beside one nobody stated."""
    words = view.words
    for rung in _TIMES[:2] if view.request.is_coupling else _TIMES:
        after = view.text(f"clock.{rung}")
        wanted = words("saddle_tag.after", time=after) if after else ""
        yield Box(words("saddle_tag.not_before", what=words(f"ladder.{rung}")), wanted, "time")


def _done(view: View) -> Sheet:
    """What was done with the joint since, on the tag's back."""
    cut = () if view.request.is_coupling else ("cut", "coupon")
    boxes = Boxes(tuple(_named(view, "fuser_id", "unit", "clamp_off", "tested", *cut)))
    return Sheet("saddle-tag", view.words("saddle_tag.done"), _tag(view), (boxes,))


def _abandoned(view: View) -> Sheet:
    """Why a saddle was left uncut, and that it stays so."""
    words = view.words
    boxes = Boxes(tuple(_named(view, "joint", "found", "capped_by", "report", "moved_to", "checked_by")))
    said = (Why(spans(words("saddle_tag.never"), "strong")), boxes)
    return Sheet("saddle-tag-abandoned", words("saddle_tag.abandoned"), _tag(view), said)


def _named(view: View, *keys: str) -> Iterator[Box]:
    """Boxes by their words."""
    return (Box(view.words(f"saddle_tag_boxes.{key}")) for key in keys)


def _tag(view: View) -> Tag:
    """The joint, large, over its size: a tag is looked for by its joint."""
    joint = view.request.joint
    return Tag(joint.id if joint else view.words("saddle_tag.joint"), view.tag.large)
