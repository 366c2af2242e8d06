#!/usr/bin/env node
import { runCommand } from './command-line/run.ts';

process.exitCode = await runCommand(process.argv.slice(2));
