// Opens one page of HTML in Chromium the way people do: on a phone and at a desk, in light and in dark, larger, printed.
//
//   node page.mjs FILE DIR POLICY
//
// FILE is the page, DIR where pictures and PDF files go, POLICY the Content-Security-Policy that it is served with. What
// is wrong with it is written to standard output as JSON: a list of sentences. CHROMIUM names another browser.
import { createServer } from 'node:http';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const [file, dir, policy] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const faults = [];
const fault = (view, words) => faults.push(`${view}: ${words}`);

const page = readFileSync(file);
const server = createServer((request, response) => {
	if (request.url === '/') {
		response.writeHead(200, { 'Content-Type': 'text/html; charset=utf-8', 'Content-Security-Policy': policy });
		response.end(page);
		return;
	}
	if (request.url !== '/favicon.ico') fault('network', `asks for ${request.url}`);
	response.writeHead(404);
	response.end();
});
await new Promise((done) => server.listen(0, '127.0.0.1', done));
const address = `http://127.0.0.1:${server.address().port}/`;

const browser = await chromium.launch({
	executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
	args: ['--no-sandbox', '--disable-gpu', '--font-render-hinting=none'],
});

// Everything that axe-core knows: WCAG 2.0 to 2.2, A and AA, best practice and what is on trial.
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22a', 'wcag22aa', 'best-practice', 'experimental'];
async function accessible(tab, view) {
	await tab.evaluate(axe);
	const found = await tab.evaluate((values) => window.axe.run(document, { runOnly: { type: 'tag', values } }), rules);
	for (const rule of found.violations) {
		for (const node of rule.nodes) fault(view, `axe ${rule.id}: ${node.target.join(' ')}: ${node.failureSummary.replace(/\s+/g, ' ')}`);
	}
}

// Nothing may be wider than the window, or than what it stands in.
async function fits(tab, view) {
	const wide = await tab.evaluate(() => {
		const most = document.documentElement.clientWidth, out = [];
		if (document.documentElement.scrollWidth > most) out.push(`the page is ${document.documentElement.scrollWidth} px wide in ${most}`);
		for (const e of document.querySelectorAll('body *')) {
			if (e.closest('svg svg, thead') || e.parentElement.closest('svg') || e.closest('figure:target .drawing *')) continue;
			const r = e.getBoundingClientRect();
			if (r.width > 0 && (r.right > most + 1 || r.left < -1)) out.push(`<${e.tagName.toLowerCase()} class="${e.getAttribute('class') ?? ''}"> reaches from ${r.left} to ${r.right} in ${most} px: ${e.textContent.slice(0, 40)}`);
		}
		return out;
	});
	for (const words of wide) fault(view, words);
}

// No letter of a drawing may lie outside of its sheet, and no two lines of words on each other.
async function drawn(tab, view) {
	const words = await tab.evaluate(() => {
		const out = [];
		for (const svg of document.querySelectorAll('.drawing svg')) {
			const sheet = svg.getBoundingClientRect();
			for (const label of svg.querySelectorAll('text')) {
				const r = label.getBoundingClientRect();
				if (r.left < sheet.left - 1 || r.right > sheet.right + 1 || r.top < sheet.top - 1 || r.bottom > sheet.bottom + 1) out.push(`"${label.textContent}" is cut off in the drawing "${svg.querySelector('title').textContent}"`);
			}
		}
		return out;
	});
	for (const w of words) fault(view, w);
}

async function open(view, options) {
	const context = await browser.newContext(options);
	const tab = await context.newPage();
	tab.on('console', (message) => { if (['error', 'warning'].includes(message.type()) && !/favicon/.test(message.text() + message.location().url)) fault(view, `console: ${message.text()}`); });
	tab.on('pageerror', (e) => fault(view, `error: ${e.message}`));
	await tab.goto(address, { waitUntil: 'load' });
	return tab;
}

const phone = { width: 360, height: 800 }, desk = { width: 1200, height: 900 };
for (const [view, options] of [
	['phone-light', { viewport: phone, colorScheme: 'light' }],
	['phone-dark', { viewport: phone, colorScheme: 'dark' }],
	['desk-light', { viewport: desk, colorScheme: 'light' }],
	['desk-dark', { viewport: desk, colorScheme: 'dark' }],
]) {
	const tab = await open(view, options);
	await tab.screenshot({ path: join(dir, `${view}.png`), fullPage: true });
	await fits(tab, view);
	if (view !== 'phone-light') await accessible(tab, view); // that of a narrower one comes below
	if (view === 'desk-light') await drawn(tab, view);
	await tab.context().close();
}

{
	const tab = await open('forced-colors', { viewport: desk, colorScheme: 'dark', forcedColors: 'active' });
	await tab.screenshot({ path: join(dir, 'forced-colors.png'), fullPage: true });
	await tab.context().close();
}

{
	const tab = await open('widths', { viewport: phone });
	for (const width of [320, 375, 412, 520, 640, 704, 705, 768, 832, 833, 1024]) {
		await tab.setViewportSize({ width, height: 800 });
		await fits(tab, `${width} px`);
	}
	await tab.setViewportSize({ width: 320, height: 800 });
	const enlarge = tab.locator('.enlarge').first();
	if (await enlarge.count() > 0) {
		await enlarge.click();
		const drawing = tab.locator('figure:target .drawing');
		if (!await drawing.evaluate((e) => e.scrollWidth > e.clientWidth)) fault('enlarged', 'the drawing is no larger');
		await fits(tab, 'enlarged');
		await tab.screenshot({ path: join(dir, 'phone-enlarged.png') });
		await accessible(tab, '320 px, a drawing enlarged');
		await tab.locator('figure:target .whole-link').click();
		if (await tab.locator('figure:target').count() > 0) fault('enlarged', 'the drawing stays large');
	} else {
		await accessible(tab, '320 px');
	}
	// WCAG 2.1, success criterion 1.4.12: spacing that a reader may set.
	await tab.addStyleTag({ content: '*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}p{margin-bottom:2em!important}' });
	await fits(tab, 'spaced out');
	await tab.context().close();
}

{
	const tab = await open('print', { viewport: desk, colorScheme: 'dark' });
	for (const format of ['Letter', 'A4']) await tab.pdf({ path: join(dir, `${format}.pdf`), format, tagged: true });
	await tab.context().close();
}

await browser.close();
server.close();
console.log(JSON.stringify(faults));
