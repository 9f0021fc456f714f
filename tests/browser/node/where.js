// Unpacks Chromium, its libraries and its fonts into TMPDIR, and prints where the program lies.
import chromium from "@sparticuz/chromium";

process.stdout.write(await chromium.executablePath());
