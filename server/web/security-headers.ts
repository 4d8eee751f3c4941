/**
 * What every answer carries. The pages bring all they need: no script, style or font comes from elsewhere, and
 * none stands in the page itself, so that a text from the plant can never become a script.
 */
export const SECURITY_HEADERS = {
  'content-security-policy': [
    "default-src 'self'",
    "img-src 'self' data:",
    "font-src 'self' data:",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), geolocation=(), microphone=()',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
} as const;

/** The page that shows the API is another's: it sets styles in the page. */
export const API_PAGE_POLICY = `${SECURITY_HEADERS['content-security-policy']}; style-src 'self' 'unsafe-inline'`;
