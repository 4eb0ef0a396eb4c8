window.addEventListener('load', () => {
  SwaggerUIBundle({
    url: '/openapi.json',
    dom_id: '#reference',
    deepLinking: true,
    docExpansion: 'list',
    validatorUrl: null,
    presets: [SwaggerUIBundle.presets.apis],
  });
});
