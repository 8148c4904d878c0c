"""The answers of probes: whether the process answers, and what it serves."""

from __future__ import annotations

from marshmallow import fields

from .answer_fields import Answer, one, switch, text, texts, whole


class AliveSchema(Answer):
    """The process answers."""

    status = text("always alive", words=("alive",))


class ReloadSchema(Answer):
    """How a reload went."""

    at = text("when it was asked for: RFC 3339 date-time")
    ok = switch("whether what was read is served; if not, what was served before still is")
    faults = whole("faults found; the log tells each")
    files = texts("names of the files that have them")


class ReadySchema(Answer):
    """What is loaded."""

    status = text("always ready", words=("ready",))
    plants = texts("ids of the plants")
    processes = texts("ids of the processes")
    plugin_faults = texts("names of plug-ins that could not be used; the log tells why")
    revisions = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "revision of the plant file that is served, by id of the plant"},
    )
    reload = one(ReloadSchema, "the last one; null before the first", nullable=True)
