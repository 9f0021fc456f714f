/** Words of Connection, and of the band that says what a device lacks. */

export const trust = {
  title: "Connection",
  lost_word: "Offline use and keeping the screen on are NOT available on this device.",
  lost_more: "What is recorded reaches the server only while connected. How to change that",
  here: "This device",
  has_all:
    "This device trusts the connection: offline use, keeping the screen on and installing work.",
  lacks: {
    plain:
      "This page came over plain http. Browsers keep offline use, keeping the screen on and installing for https.",
    refused:
      "This device does not trust the server's certificate. Going on past a warning does not bring back offline use, keeping the screen on or installing.",
    old: "This browser has no offline use. A current browser on the same device may have it.",
  },
  steps_here: "Go through the steps on this device",
  modes: {
    plain: "The server answers over plain http. Start it with --tls to answer over https.",
    authority: "The server answers over https, by this clinic's own authority.",
    own: "The server answers over https, by a certificate that the clinic brought.",
    proxy: "Https is done by a proxy before the server.",
  },
  ends: (day: string) => `The certificate in use lasts until ${day}.`,
  renewed: "It is renewed by itself; devices notice nothing.",
  step_trust: "1. Bring another device to trust it",
  step_trust_help:
    "Scan this with the other device, or type the address there. The page it opens goes through the steps, per platform.",
  fingerprint: "Compare this fingerprint with the one on that page, pair by pair:",
  fingerprint_doubt:
    "Compare it on a device that already trusts the connection, or where the server was started; not on this one.",
  step_open: "2. Open Canalclock there",
  step_open_alone: "Open Canalclock on another device",
  step_open_help:
    "Always open the same address: what a device still holds stays with the address it was recorded under.",
  code_of: (address: string) => `QR code of ${address}`,
  other: (address: string) => `Code for ${address}`,
  no_address:
    "The server knows no address that other devices could open. Start it with --host 0.0.0.0, and with --name if devices reach it by another name or address.",
  away: "The server does not answer now; codes and fingerprint come when it does.",
  waiting: "Asking the server…",
  notices: {
    ends_soon: (about: string) =>
      `The certificate ends on ${about}. Whoever runs the server renews it before that day.`,
    not_renewed: (about: string) =>
      `The certificate could not be renewed and stays as it is: ${about}`,
    names_left_out: (about: string) =>
      `The clinic's authority cannot vouch for ${about}. Devices use another address, or whoever runs the server starts it once with --new-authority.`,
    authority_ends: (about: string) =>
      `The clinic's authority ends on ${about}. Before that day the server is started once with --new-authority, and every device is brought to trust the new one.`,
    exposed: (about: string) =>
      `Other users of the server's machine could read the key in ${about}. If one of them is not trusted, have the certificate replaced.`,
  },
} as const;
