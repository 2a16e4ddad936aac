// The walk of a visit: how far it is and where it goes on stand at once, what else it offers comes once they do.

import { leadOn } from "./lead_on.js";
import { answered, data, onceItStands, queue } from "./visit_page.js";

leadOn({ stops: data.stops, queue, answered });
if (queue.rows.some((row) => row.entry.act?.isStart)) document.querySelector("[data-not-started]")?.remove();
document.getElementById(location.hash.slice(1))?.closest("details.storey")?.setAttribute("open", ""); // back from a test
onceItStands(() => import("./walk_offers.js").catch(() => {})); // the page is left, or the network: the walk goes on
