/** The wiring: for now one heading, until the screens are joined here. */

import { render } from "preact";

const root = document.getElementById("app");
if (root === null) {
  throw new Error("index.html has no element #app");
}
render(<h1>Canalclock</h1>, root);
