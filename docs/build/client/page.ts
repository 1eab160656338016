/**
 * What the pages do beyond being read. All of it works from a file on disk, and without it every page still reads.
 */
import { foldContents } from './contents.js';
import { setUpPlayers } from './player.js';
import { oneAtATime } from './sounds.js';

foldContents();
oneAtATime();
setUpPlayers();
