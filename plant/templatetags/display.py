"""Registers the functions of plant.display as template filters, nothing else."""

from django import template

from plant import display

register = template.Library()

for show in (
    display.text,
    display.yes_no,
    display.number,
    display.fixed,
    display.hours,
    display.days,
    display.months,
    display.duration,
    display.date,
    display.date_time,
    display.percent,
    display.money,
    display.interval,
    display.count,
):
    register.filter(show.__name__, show)
