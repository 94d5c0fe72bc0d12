"""What a record says of findings: how certain each is called, and what it rests on."""

from collections.abc import Mapping
from typing import Any

from slidekit.evidence.certainty import Link
from slidekit.scene.links import Evidence
from slidekit.storyboard.findings import Finding

Json = dict[str, Any]


def findings_record(findings: Mapping[str, Finding], evidence: Evidence) -> Json:
    """Each finding with how much everything it rests on carries."""
    return {
        "findings": {
            name: {
                "certainty": finding.certainty,
                "although": finding.although,
                "rests_on": [_link(link) for link in evidence.links_of(finding)],
            }
            for name, finding in findings.items()
        }
    }


def _link(link: Link) -> Json:
    strength = link.strength
    return {"what": link.called, "carries": strength.carries, "because": strength.because}
