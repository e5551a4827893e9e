"""Addresses of the monthly reviews."""

from django.urls import URLPattern, path

from analytics.views import reviews

urlpatterns: list[URLPattern] = [
    path("reviews/", reviews.review_list, name="review_list"),
    path("reviews/<int:pk>/", reviews.review_detail, name="review_detail"),
    path("reviews/<int:pk>/review.pdf", reviews.review_paper, name="review_pdf"),
    path("reviews/<int:pk>/units.csv", reviews.review_export, name="review_export"),
    path(
        "reviews/<int:pk>/decide/<slug:kind>/<int:unit_pk>/",
        reviews.review_deciding,
        name="review_decide",
    ),
    path("reviews/<int:pk>/note/", reviews.review_noting, name="review_note"),
    path("reviews/<int:pk>/send/", reviews.review_sending, name="review_send"),
    path("reviews/<int:pk>/close/", reviews.review_closing, name="review_close"),
]
