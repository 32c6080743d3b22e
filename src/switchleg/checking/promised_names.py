"""The names that answers files and readers of the verdict rely on. More may be added; these stay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from switchleg.schema.questions import Kind


@dataclass(frozen=True)
class Fixed:
    """A fact that must be asked: its kind, and for a choice the values that must be among its answers."""

    kind: Kind
    choices: tuple[str, ...] = ()


Vocabulary = Mapping[str, Fixed]


def _all(kind: Kind, facts: str) -> dict[str, Fixed]:
    return {fact: Fixed(kind) for fact in facts.split()}


def _choice(facts: str, values: str) -> dict[str, Fixed]:
    return {fact: Fixed("choice", tuple(values.split())) for fact in facts.split()}


SCHEMES = frozenset(
    {
        "wall_speed_and_light",
        "wall_combined",
        "wall_speed",
        "wall_switch_and_light",
        "wall_switch_all",
        "relay_behind_switch",
        "canopy_relay",
        "canopy_speed",
        "signal_bridge",
        "smart_fan",
    }
)
"""The control schemes that must be judged."""

PREPARATIONS = frozenset(
    {
        "bypass_receiver",
        "keep_receiver",
        "move_light_to_own_leg",
        "join_switch_always_hot",
        "use_spare_conductor",
        "cap_unused",
        "battery_wall_button",
        "set_chain_high",
        "add_wall_gang",
        "larger_box",
        "fan_rated_box",
        "replace_fan_ac",
        "pull_new_cable",
    }
)
"""The preparations that a verdict may name."""

FIXED: Vocabulary = {
    **_choice("region", "us ca uk eu au_nz in"),
    **_choice("want_wall_control want_speed_from_app want_light_apart want_light_dimming", "must nice no"),
    **_choice("want_keep_remote want_keep_wall_look", "must nice no"),
    **_all("yes_no", "may_open_canopy may_pull_cable may_replace_fan fan_installed"),
    **_all("count", "wall_boxes wall_controls wall_gangs"),
    **_choice("control_1_does control_2_does", "fan light both nothing"),
    **_choice("control_1_kind control_2_kind", "on_off dimmer speed remote"),
    **_all("yes_no", "acts_on_other_loads handheld_remote"),
    **_choice("other_load_kind", "lamps outlet fan other"),
    **_all("measure", "other_load_amps"),
    **_choice("light_kit", "none lamps led_built_in"),
    **_all("count", "remote_speeds"),
    **_all("yes_no", "remote_reverses pull_chain_fan pull_chain_light reverse_slide"),
    **_choice("motor_label", "ac dc unmarked"),
    **_all("measure", "fan_watts_high fan_amps fan_airflow_high"),
    **_choice("start_behaviour", "gentle at_once"),
    **_all("yes_no", "resumes_after_power_cut"),
    **_choice("place_rating_needed", "dry damp wet"),
    **_all("measure", "ceiling_height blade_height room_area"),
    **_choice("wire_metal", "copper aluminum"),
    **_choice("wire_age", "plastic cloth knob_and_tube"),
    **_all("yes_no", "damage_seen run_spare neutral_bundle white_on_control wall_ground ceiling_ground"),
    **_all("count", "wall_cables run_conductors run_and_link_conductors circuits_in_box"),
    **_all("yes_no", "hot_at_wall_always wall_box_clamps leg_on_each_control"),
    **_all("measure", "wire_size breaker wall_box_volume"),
    **_all("yes_no", "receiver receiver_motor_plug"),
    **_all("count", "receiver_motor_leads ceiling_cables"),
    **_choice("receiver_label", "ac_out dc_out unmarked"),
    **_choice("receiver_light_lead", "mains low_voltage none"),
    **_choice("light_joined_to", "receiver house_leg both nothing"),
    **_choice("capacitor_in", "fan receiver not_seen"),
    **_all("yes_no", "hot_at_ceiling_switch_off fan_box_marked"),
    **_all("measure", "fan_weight fan_box_rating canopy_space"),
}
