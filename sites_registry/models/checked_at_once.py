"""Rules of a record asked together: Django asks the database for each by itself, with a savepoint around."""

from functools import reduce
from operator import and_

from django.core.exceptions import FieldError
from django.db import models, router


class CheckedAtOnce(models.Model):
    """Check constraints in one question; where not all hold, or one cannot be asked, each by itself for its words."""

    _rules_hold = False

    class Meta:
        abstract = True

    def validate_constraints(self, exclude=None):
        self._rules_hold = self._asked_together(exclude or ())
        try:
            super().validate_constraints(exclude)
        finally:
            self._rules_hold = False

    def get_constraints(self):
        constraints = super().get_constraints()
        if not self._rules_hold:
            return constraints
        return [
            (model, [one for one in each if not isinstance(one, models.CheckConstraint)]) for model, each in constraints
        ]

    def _asked_together(self, exclude):
        """Whether all rules hold. One on a field that is left out says nothing, as in Django."""
        conditions = [
            one.condition
            for one in self._meta.constraints
            if isinstance(one, models.CheckConstraint) and one.condition.referenced_base_fields.isdisjoint(exclude)
        ]
        if not conditions:
            return False
        values = self._get_field_expression_map(self._meta, exclude)
        try:
            return reduce(and_, conditions).check(values, using=router.db_for_write(type(self), instance=self))
        except FieldError:
            return False
