"""A tablet without network: logged in, half-way typed, then signed."""

from django.test import Client

from tests.pages.tablet_form import SIGN, STORY, open_form


def log_in(context, user, host):
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    session = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": host}])


def begun_without_network(context, page):
    """Typed up to what was found; then the browser closes, half-way."""
    context.set_offline(True)
    page.reload()
    form = open_form(page)
    form.find()
    form.noticed()
    form.next()
    form.found()
    page.wait_for_timeout(400)
    context.close()


def signed_without_network(context, page):
    """Opened again, still without network, finished and signed."""
    context.set_offline(True)
    form = open_form(page)
    form.tap("Go on")
    page.locator("[data-step=found]").wait_for()
    assert page.locator("#id_noticed-failure_mode").input_value() == "ELP"
    form.step("done")
    form.done()
    form.step("hours")
    form.handed_back()
    form.next()
    form.type("In your own words", STORY)
    form.photo()
    form.next()
    form.tap(SIGN)
    form.state("Waiting to be sent")
    return form
