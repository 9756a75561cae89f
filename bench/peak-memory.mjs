/**
 * Preloaded into a process under measurement: when it ends, writes its peak memory (kB) to the file
 * named in PEAK_MEMORY_FILE. Where the system tells the peak of this very program it is taken from
 * there: process.resourceUsage().maxRSS also counts what the parent held when it started us.
 */
import { readFileSync, writeFileSync } from 'node:fs';

function peak() {
  try {
    const status = readFileSync('/proc/self/status', 'utf8');
    const line = /^VmHWM:\s+(\d+) kB$/m.exec(status);
    if (line) return Number(line[1]);
  } catch {
    // not Linux
  }
  return process.resourceUsage().maxRSS;
}

process.on('exit', () => {
  const file = process.env.PEAK_MEMORY_FILE;
  if (file) writeFileSync(file, String(peak()));
});
