/**
 * The test bench: DSC calls composed, heard, answered and logged in the browser.
 */
import { policy } from './policy.js';
import { render } from 'preact';
import { App } from './app.js';
import './style/fonts.css';
import './style/theme.css';
import './style/layout.css';
import './style/parts.css';
import './style/strip.css';
import './style/views.css';
import './style/exchange.css';
import './style/measure.css';
import './style/wall.css';
import './style/exam.css';
import './style/print.css';

const root = document.getElementById('app');
if (root && policy.jitless) render(<App />, root);
