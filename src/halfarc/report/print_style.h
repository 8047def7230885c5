// The look that all printed pages of the reports share: one sheet of A4, dark on white, readable on a phone too.
#pragma once

#include <string_view>

namespace halfarc {

inline constexpr std::string_view kPrintStyle = R"(
@page { size: A4 portrait; margin: 14mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.4 "Liberation Sans", "Helvetica Neue", Arial, sans-serif; color: #111; background: #fff;
       max-width: 182mm; margin: 0 auto; padding: 5mm; }
h1 { font-size: 16pt; margin: 0 0 2mm; }
h2 { font-size: 10.5pt; margin: 4mm 0 1mm; border-bottom: 0.3mm solid #111; break-after: avoid; }
svg { width: 100%; max-width: 130mm; height: auto; display: block; margin: 3mm auto; }
table { border-collapse: collapse; width: 100%; font-size: 9.5pt; }
th { text-align: left; font-weight: normal; color: #444; width: 42mm; }
td, th { padding: 0.6mm 3mm 0.6mm 0; vertical-align: top; overflow-wrap: anywhere; }
tr { break-inside: avoid; }
@media print { body { padding: 0; } }
@media (max-width: 600px) { th { width: 32%; } }
)";

}  // namespace halfarc
