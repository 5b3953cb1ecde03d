"use strict";

/* Starts the reference page on the service's own document; nothing is asked of anybody else. */

window.addEventListener("load", () => {
  window.SwaggerUIBundle({
    url: "/openapi.json",
    dom_id: "#reference",
    validatorUrl: null,
    deepLinking: true,
    docExpansion: "list",
    defaultModelsExpandDepth: 0,
    tryItOutEnabled: true,
    displayRequestDuration: true,
    /* A whole plan is long: colouring it would hold up the page for seconds. */
    syntaxHighlight: false,
    presets: [window.SwaggerUIBundle.presets.apis],
    layout: "BaseLayout",
  });
});
