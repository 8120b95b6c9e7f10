// The bench while taking apart: one step at a time, a bag, a tap.

import { watchSteps } from "./steps.js";

watchSteps();
