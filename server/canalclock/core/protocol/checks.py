"""placeholder"""
from canalclock.core.protocol.definition import Catalogue, Protocol
from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.problems import Problem
def protocol_problems(protocol: Protocol, document: Document, catalogue: Catalogue) -> list[Problem]:
    return []
