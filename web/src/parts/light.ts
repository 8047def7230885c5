import { createContext } from "preact";
import type { Light } from "../mode";

// Which light the page stands in, for what is painted with script and must be painted anew.
export const LightContext = createContext<Light>("red");
