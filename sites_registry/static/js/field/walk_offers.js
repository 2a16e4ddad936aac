// What the walk offers beside its stops: one test at several, a storey that cannot be reached, photographs of the visit.

import { offerAlike } from "./alike.js";
import { Drafts } from "./drafts.js";
import { offerNotReached } from "./not_reached.js";
import { takePhotographs } from "./photographs.js";
import { answered, data, forgetGiven, queue, showGiven } from "./visit_page.js";

const offer = { stops: data.stops, queue, answered, onRecorded: showGiven };
const drafts = new Drafts({ person: data.person.id, visit: data.visit });

offerNotReached(offer);
if (data.alike) offerAlike({ ...offer, alike: data.alike, outcomes: data.outcomes, isTyped: (point) => drafts.has(point), onTakenBack: forgetGiven });
takePhotographs(data, queue);
