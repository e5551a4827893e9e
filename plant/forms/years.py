"""Days and moments of a year in which a pump can have stood; others are refused."""

from django import forms

from plant.days import refuse_far_day


class BoundedDayField(forms.DateField):
    default_validators = [refuse_far_day]


class BoundedMomentField(forms.DateTimeField):
    default_validators = [refuse_far_day]
