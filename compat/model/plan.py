"""Plans that go to site: a DMX patch and a DALI address plan. Published schemas are made from these."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from compat.model.report import DatasetStamp

SHORT_ADDRESSES, GROUPS = 64, 16  # of a DALI line; IEC 62386-102, second hand


class Model(BaseModel):
    """A record without unknown fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class NotPlanned(Model):
    """Luminaires that have no place in the plan, and why."""

    line: str
    circuit: str
    room: str
    luminaire_type: str
    quantity: int
    reason: str


class DmxPlace(Model):
    """One luminaire on a DMX line; its last slot is ``start_address + footprint - 1``."""

    line: str
    universe: Annotated[int, Field(ge=1, description="Numbered from 1 on each line.")]
    start_address: Annotated[int, Field(ge=1, le=512)]
    end_address: Annotated[int, Field(ge=1, le=512)]
    footprint: Annotated[int, Field(ge=1, le=512, description="Slots of the luminaire.")]
    circuit: str
    room: str
    luminaire_type: str
    number: Annotated[int, Field(ge=1, description="Which of its kind on the circuit.")]


class DmxPatch(Model):
    """Where each DMX luminaire of a schedule listens."""

    dmx_patch: Literal["dmx_patch/1"] = "dmx_patch/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    places: list[DmxPlace]
    universes: dict[str, int] = Field(description="Universes used by each line.")
    not_planned: list[NotPlanned]
    notes: list[str]


class DaliPlace(Model):
    """One logical unit on a DALI line."""

    line: str
    short_address: Annotated[int, Field(ge=0, le=SHORT_ADDRESSES - 1)]
    group: Annotated[
        int | None,
        Field(
            ge=0,
            le=GROUPS - 1,
            description="One for each circuit, and for each channel of its luminaires that have an address "
            "for each colour; None when all are used.",
        ),
    ]
    circuit: str
    room: str
    luminaire_type: str
    number: Annotated[int, Field(ge=1, description="Which of its kind on the circuit.")]
    unit: Annotated[int, Field(ge=1, description="Which logical unit of the driver.")]


class DaliAddresses(Model):
    """Which short address each control gear of a schedule gets, and which group."""

    dali_addresses: Literal["dali_addresses/1"] = "dali_addresses/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    places: list[DaliPlace]
    used: dict[str, int] = Field(description="Short addresses used on each line.")
    not_planned: list[NotPlanned]
    notes: list[str]
