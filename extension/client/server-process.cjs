// What the extension starts as a process of its own where there is Node; it serves over its standard streams.
require("./language-server.cjs").serveStandardStreams();
