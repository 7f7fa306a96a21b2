// report_page.mjs FOLDER PAGE.html...: each page as people meet it, in headless Chromium: phone and desk, light and
// dark, printed. Nothing may stick out, no words may be cut or lie on others in a chart, axe-core may find no
// barrier. Pictures and prints go to FOLDER. The modules are sought in $NODE_MODULES.
import { createRequire } from 'node:module';
import { basename, join, resolve } from 'node:path';

const [folder, ...pages] = process.argv.slice(2);
const need = createRequire(join(process.env.NODE_MODULES, 'x.js'));
const puppeteer = need('puppeteer-core');
const axe = need.resolve('axe-core/axe.min.js');
const browser = await puppeteer.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});

// Runs in the page: what sticks out, what is cut, what lies on what.
function faults() {
    const found = [];
    const name = e => `${e.tagName.toLowerCase()} "${(e.textContent || '').slice(0, 40)}"`;
    if (document.documentElement.scrollWidth > innerWidth)
        for (const e of document.querySelectorAll('main *'))
            if (e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('.scroll') && !e.closest('svg'))
                found.push(`sticks out: ${name(e)}`);
    for (const svg of document.querySelectorAll('svg')) {
        const whole = svg.getBoundingClientRect();
        const texts = [...svg.querySelectorAll('text')].map(e => [e, e.getBoundingClientRect()]);
        for (const [e, r] of texts)
            if (r.left < whole.left - 1 || r.right > whole.right + 1 || r.top < whole.top - 2 || r.bottom > whole.bottom + 2)
                found.push(`cut in a chart: ${name(e)}`);
        for (const [i, [e, r]] of texts.entries())
            for (const [f, s] of texts.slice(i + 1))
                if (r.left < s.right - 1 && s.left < r.right - 1 && r.top < s.bottom - 3 && s.top < r.bottom - 3)
                    found.push(`on each other in a chart: ${name(e)} and ${name(f)}`);
        const ids = (svg.getAttribute('aria-labelledby') || '').split(' ');
        if (ids.length < 2 || !ids.every(id => svg.querySelector(`#${id}`)?.textContent))
            found.push(`a chart without title and description: ${name(svg)}`);
    }
    const ids = [...document.querySelectorAll('[id]')].map(e => e.id);
    if (new Set(ids).size !== ids.length)
        found.push('an id twice');
    return found;
}

let bad = 0;
let barriers = 0;
let rules = 0;
for (const file of pages) {
    const page = await browser.newPage();
    const stem = join(folder, basename(file, '.html'));
    const asked = [];
    page.on('request', r => r.url().startsWith('file://') || asked.push(r.url()));
    const said = [];
    for (const [device, width, height] of [['phone', 500, 900], ['desk', 1200, 900], ['narrow', 320, 640]])
        for (const scheme of ['light', 'dark']) {
            await page.setViewport({ width, height });
            await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
            await page.goto(`file://${resolve(file)}`);
            for (const fault of await page.evaluate(faults))
                said.push(`${device}, ${scheme}: ${fault}`);
            if (device !== 'narrow')
                await page.screenshot({ path: `${stem}-${device}-${scheme}.png`, fullPage: true });
            await page.addScriptTag({ path: axe });
            const result = await page.evaluate(() => axe.run());
            rules += result.passes.length;
            for (const v of result.violations) {
                barriers += 1;
                said.push(`${device}, ${scheme}: axe-core: ${v.id}: ${v.nodes[0].target}: ${v.nodes[0].failureSummary}`);
            }
        }
    await page.emulateMediaFeatures([]);
    await page.goto(`file://${resolve(file)}`);
    await page.pdf({ path: `${stem}.pdf`, preferCSSPageSize: true, format: 'A4' });
    if (asked.length)
        said.push(`it fetches ${asked[0]}`);
    for (const s of new Set(said))
        console.log(`${basename(file)}: ${s}`);
    bad += said.length;
    await page.close();
}
await browser.close();
console.log(`${pages.length} pages: axe-core passed ${rules} rules, ${barriers} violations; ${bad} faults in all`);
process.exit(bad ? 1 : 0);
