"""The JSON schema of the job file, for editors that complete and check YAML as it is typed."""

from __future__ import annotations

import json

from takeoff.model.job.job import Job


def job_schema_text() -> str:
    """The schema as it stands in templates/job.schema.json, byte for byte."""
    schema = Job.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Job of a roof and cladding takeoff"
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
