/** What the build writes into the service worker: see shell.ts. */

/** Addresses of every file of the built app, each once, without the worker itself. */
declare const __SHELL_FILES__: readonly string[];

/** Digest over those files; another digest is another version of the app. */
declare const __SHELL_DIGEST__: string;
