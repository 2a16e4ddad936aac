"""All tables of an app, made by one operation of its first migration."""

from django.db import migrations


class CreateTables(migrations.SeparateDatabaseAndState):
    """What its CreateModel operations do one after the other, with the models rendered once and not for each table.

    Tables that refer to each other stand side by side: every model is known before the first table is made.
    """

    def state_forwards(self, app_label, state):
        # What is rendered is rendered anew when it is asked for; until then a model added costs nothing.
        state.__dict__.pop("apps", None)
        super().state_forwards(app_label, state)

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        for create_model in self.state_operations:
            create_model.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label, schema_editor, from_state, to_state):
        for create_model in reversed(self.state_operations):
            create_model.database_backwards(app_label, schema_editor, from_state, to_state)
