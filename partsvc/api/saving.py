"""The address at which a job becomes a procedure."""

from __future__ import annotations

from partsvc.api.room import Room
from partsvc.domain.acts.kinds import Role
from partsvc.web.running import sender, service
from partsvc.work.answers import Writing
from partsvc.work.procedures import RevisionShown
from partsvc.work.saving_procedures import SaveAs, save_as_procedure

room = Room("saving", __name__, description="Jobs kept as procedures.")


@room.at(
    "POST", "/jobs/<job>/procedure", roles=frozenset({Role.LEAD}), takes=SaveAs,
    gives=RevisionShown, status=201, writes=True, problems=[404, 409],
    location="/api/v1/procedures/{procedure}/revisions/{number}",
)  # fmt: skip
def post_procedure_of_job(job: str, *, db: Writing, given: SaveAs) -> RevisionShown:
    """Save a job as a procedure

    With all that was added and corrected while working: the record made while stripping becomes
    the plan of the next job. Refused while a part has no number yet.
    """
    return save_as_procedure(service(), sender(), job, given.key, given.title, db=db)
