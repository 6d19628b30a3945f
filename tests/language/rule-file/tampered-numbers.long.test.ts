import { tamperedNumbersSuite } from "./tampered-numbers-suite.ts";

tamperedNumbersSuite(3);
