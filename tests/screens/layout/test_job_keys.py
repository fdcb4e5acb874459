"""What the keys of every screen of a job do."""

from types import SimpleNamespace

import pytest

from wizard.engine.messages import commands as cmd
from wizard.screens.launch import screen_registry
from wizard.screens.layout import job_keys, key_table
from wizard.screens.layout.navigation import MapPlace


class HostHeard:
    """A host that keeps what it is asked for."""

    def __init__(self, run=None, goal=""):
        self.controller = SimpleNamespace(state=SimpleNamespace(run=run, goal=goal))
        self.heard = []

    def act(self, *acts):
        self.heard += acts

    def go(self, place):
        self.heard.append(place)

    def panel(self, name):
        self.heard.append(name)


@pytest.mark.parametrize(("run", "goal", "wanted"), [
    (object(), "", cmd.Leave()), (None, "springs", cmd.Leave()), (None, "", MapPlace()),
])  # fmt: skip
def test_to_the_map_leaves_what_is_open_or_being_made_ready(run, goal, wanted):
    """With nothing open there is nothing to leave."""
    host = HostHeard(run, goal)
    job_keys.press(host, "map")
    assert host.heard == [wanted]


@pytest.mark.parametrize(("name", "wanted"), [("undo", cmd.Undo()), ("break", "break"), ("note", "note")])
def test_undo_is_a_command_and_all_else_is_a_panel_or_a_question(name, wanted):
    """Each name leads to one of them."""
    host = HostHeard()
    job_keys.press(host, name)
    assert host.heard == [wanted]


def test_every_key_of_a_job_leads_somewhere():
    """Its name is a handler or a panel that there is."""
    names = {k.action[5:-2] for k in key_table.KEYS.values() if k.action.startswith("job('")}
    assert names and names <= {*job_keys.HANDLERS, *screen_registry.PANELS, *screen_registry.QUESTIONS}
