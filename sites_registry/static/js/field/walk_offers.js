// What the walk offers beside its stops: one test at several, a storey that cannot be reached, photographs of the visit.

import { offerAlike } from "./alike.js";
import { Drafts } from "./drafts.js";
import { offerNotReached } from "./not_reached.js";
import { takePhotographs } from "./photographs.js";
import { answered, data, forgetGiven, queue, showGiven } from "./visit_page.js";

const drafts = new Drafts({ person: data.person.id, visit: data.visit });
const offer = { stops: data.stops, queue, answered, isTyped: (point) => drafts.has(point), onRecorded: showGiven };

offerNotReached(offer);
if (data.alike) offerAlike({ ...offer, alike: data.alike, outcomes: data.outcomes, onTakenBack: forgetGiven });
takePhotographs(data, queue);
