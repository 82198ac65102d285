"""The line to paste into a job that answers a question about a model."""

from __future__ import annotations

from takeoff.model.job.roofs import ShapeJob


def shape_line(shape_job: ShapeJob, key: str, value: object) -> str:
    """The roof's whole shape line with one key more, between backquotes, as YAML that can be pasted in its place.

    >>> shape_line(ShapeJob(file="house.obj", unit="m"), "up", "z").strip("`")
    'shape: {file: house.obj, unit: m, up: z}'
    """
    given = {name: getattr(shape_job, name) for name in ShapeJob.model_fields if name in shape_job.model_fields_set}
    given.pop(key, None)
    words = ", ".join(f"{name}: {_flow(what)}" for name, what in {**given, key: value}.items() if what is not None)
    return "".join(("`shape: ", "{", words, "}`"))


def _flow(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_flow(entry) for entry in value)}]"
    if isinstance(value, float):
        return f"{value:.10g}"
    text = str(value)
    plain = text.replace(".", "").replace("_", "").replace("-", "").replace("/", "")
    return text if isinstance(value, int) or (plain.isalnum() and text[0].isalpha()) else f'"{_escaped(text)}"'


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')
