"""Rules that turn the evidence of a story into questions for the engineer.

Each rule is a small pure function in the module of its subject: facts in, a question
or nothing out. None of them decides anything.
"""

from analytics.reports.story.questions.question import Question

__all__ = ["Question"]
