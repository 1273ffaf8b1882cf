# English. Common practice of the trade, from memory, no source.
# The format is described in the package comment.
lang en
bind after last      # "genuine gasket kit": the noun follows, the last one is the head

[genuine]
genuine [oem|oe]
(authentic|bona fide)
[100 %|100 percent] (original|genuine|authentic) [oem|oe]
(the|a|an|this) real (thing|deal)
original equipment part
oe part
(official|licensed) [maker] product
[maker] branded original
original (stock|product|item|unit)
genuine (stock|product|item|unit)

[genuine genuine scope=unit]
(genuine|original) [oem|oe|replacement|spare] (part|parts|component|spare|spares)

[genuine factory-original]
(factory|manufacturer|maker) original
factory genuine
dealer (part|supplied)
main dealer part

[genuine sealed-box]
[in|in a|in the] (factory|maker|manufacturer) sealed [box|packaging]
sealed (maker|manufacturer|factory) (box|packaging)

[compatible aftermarket]
aftermarket [part|replacement|turbo|turbocharger]
after market
non (genuine|oem|original|oe)
unbranded replacement
pattern part[s]
third party
generic [replacement]
alternative (part|to)
interchangeable with
equivalent [to|of|for]
equal to part
no name
compatible (turbo|turbocharger|part|replacement|cartridge|chra|aftermarket)
(made|manufactured|supplied) by (us|a third party|an independent)
independent manufacturer
not (made|manufactured|supplied) by (the|the original) (manufacturer|maker)

[compatible compatible-with]
compatible [with|for|to]

[compatible replaces]
(replaces|replacing|replacement of|replace)
[direct|drop in|exact|perfect] (replacement|substitute) [part|unit|turbo|turbocharger] (for|of|to)
replacement (part|unit|turbo|turbocharger)
[can be] used (instead|in place) of
(supersedes|substitutes)
in lieu of

[compatible fits]
(for|fits|fit|fitting|suits)
[is|are] suitable (for|to)
designed (for|to fit)
made (for|to fit)
intended for
works (with|on)
direct fit [for]
for use (on|with|in)
fitment for
adaptable to
to (fit|suit)

# what only looks like one of the above
[label]
(original|genuine|factory) (turbo|turbocharger|unit) (was|has|had|is|got) [been] (replaced|broken|faulty|damaged|removed|defective|worn|failed|blown)
(original|genuine|factory) (turbo|turbocharger|unit) (failed|broke|died|blew|went)
(when|after|since|because) (the|your|my) (original|genuine|factory) (turbo|turbocharger|unit|one|part)
(original|genuine|oem|oe|oes|factory|manufacturer) [part|ref|reference|maker|manufacturer|cross|equipment] (no|nos|number|numbers|nr|num|ref|refs|reference|references|code|codes|part number|part numbers|part no|pn|p / n)
(oem|oe|oes) :
(oem|oe) (part|cross) reference (number|numbers|no)
(original|genuine) (price|owner|purchase|receipt purchase|seller|listing|post|order|cost|colour|color|question|description|advert|message|condition)
(compatible|suitable|fitting) (vehicles|models|cars|engines|part numbers|numbers|list)
(compatibility|fitment) (list|chart|table|check)
(beware|aware|careful|wary) of _ (copies|copy|fakes|replicas|imitations|clones)
(beware|aware|careful|wary) of _ _ (copies|copy|fakes|replicas|imitations|clones)
(beware|aware|careful|wary|avoid) [of] (copies|fakes|replicas|imitations|clones)
(unlike|avoid) [the|those|all|all the] [cheap|chinese|bad|other] (copies|fakes|replicas|imitations|clones|aftermarket)
(unlike|cheaper than|less than|half the price of|instead of buying) [a|an|the] [new] (genuine|original|aftermarket|copy|oem)
copy of [the|your|an|my|our] [purchase|sales|original] (invoice|receipt|id|document|certificate|passport|report|bill)
(photo|hard|paper) copy
copy (and|&) paste
copy (this|the|our|my|these) (number|link|text|code|listing|photos|pictures|images|description|ad)
(do not|don't|please don't) copy
reproduction (of|is|prohibited|strictly|without|in|or)
(must|should|needs to|need to|has to|have to|can|may|to) be (cleaned|polished|tested|checked|flushed|used|repaired|rebuilt)
(materials|components|numbers|names|brands|trademarks|steel|alloys) used
(chra|turbo|cartridge) core
(return|returns|refund|refunds) (or|and|/) (exchange|exchanges)
(compare|check|match) [with|it with] your (label|plate|box)
not only
no doubt
without doubt
for (sale|more|any|your|further|reference|you|details|information|all|this|that|the following)
used (for|on|in|by|with|to)
if (you want|you need) [a] (genuine|original)
(is|are) (it|this|they) (genuine|original)
genuine (reason|sale|seller|buyers|enquiries|inquiries|bargain|feedback|interest|mileage)
(core|turbo core) (assembly|assy)

[hedge oem]
oem
oes
original equipment

[hedge oem-quality]
(oem|oe|oes|original|genuine|factory|original equipment) (quality|spec|specs|specification|specifications|grade|standard|standards|level|style|type|equivalent|matching)
(oem|oe|original|genuine|factory|dealer) like
quality (of|like) [the] (oem|oe|original|genuine)
[made|built|manufactured|produced] to [the] (oem|oe|original|factory|genuine|manufacturer|manufacturer's|maker's) [equipment] (spec*|standard*|tolerances|drawings)
(meets|exceeds|matching|matches) [the] [all] (oem|oe|original|factory) [equipment|manufacturer] [spec*|standard*|quality|requirements]
oem (supplier|factory|manufacturer|production line|line)

[hedge like-original]
(same|identical|equal|similar|comparable) (as|to|with) [the|an|a] (original|oem|oe|genuine|factory)
(just|looks|look|works|performs) like [the|an|a] (original|oem|genuine)
as good as [the|a|an] (original|oem|genuine|new original|factory)
(like|as) [the] (original|genuine|oem)
(original|genuine) (look|looking|appearance)
1 : 1 (with|to|as) [the] (original|oem)

[hedge top-quality]
(top|premium|highest|superior|first class) (quality|grade)
(a|aaa|a+) grade quality
a quality product

[copy replica]
(replica|replicas|copy|copies|clone|cloned|knockoff|knock off|counterfeit|fake|dupe|imitation|lookalike|look alike|reproduction|repro)
(mirror|high|super|exact|perfect|chinese|good|direct) copy
(cheap|chinese) (clone|replica)
china (copy|clone|turbo copy)

[copy grade]
(aaa|aaaaa|aaaa|5a|7a)
[aaa] 1 : 1 [replica|copy|quality|version]
(aaa|1 : 1) (grade|quality)
mirror quality

[condition new]
[brand|factory] new [and unused|unused|in box|with box]
(unused|never fitted|never used|never installed|unfitted|bnib|nib)
(new condition|newcondition)

[condition new-old-stock]
new old stock
(nos|old new stock)
old stock new

[condition remanufactured]
(remanufactured|reman|re manufactured|factory reman|remanufacturedcondition)

[condition rebuilt]
(rebuilt|reconditioned|recon|refurbished|refurb|overhauled|re built|repaired|restored|refurbishedcondition)

[condition used]
[good] (used|second hand|pre owned|preowned|usedcondition) [part|condition|turbo|unit]
(pulled|removed|taken) (from|off|out of)
(pull|take off|salvage|breaker|breakers|scrapyard|junkyard)

[condition core]
(core|cores) [only|unit]
(for|as) [a] (rebuild|core|rebuilding)

[condition core-charge]
(core|exchange) (charge|deposit|surcharge|fee|refund|return)
old unit (deposit|surcharge|return)

[condition exchange]
(exchange|service exchange|exchange basis|exchange unit)
on an exchange basis

[condition parts-only]
for (parts|spares|spares or repair|spares or repairs|parts or repair|parts or not working)
(spares or repair|spares or repairs|not working|faulty|broken|damaged|as faulty)

[condition bench-tested]
(bench|factory|flow) tested
(dynamically|vsr) balanced
balance tested

[condition tested]
(tested|fully tested|tested and working|tested working|pressure tested)

[condition cleaned]
(cleaned|sand blasted|sandblasted|blasted|polished|bead blasted|repainted|degreased|ultrasonically cleaned)

[no-returns no-returns]
(no|non|not|without) [refunds or|refund or|exchanges or] (returns|return|returnable|refund|refunds|refundable)
no returns [or refunds|accepted|or exchanges]
returns [are] not accepted
(do not|don't|does not|doesn't|will not) accept returns
(all|every) (sales|sale) [are|is] final
final sale
no exchanges

[no-returns as-is]
(sold|selling|offered|goes|comes|buy it) (as is|as seen)
as is where is
sold [as] (is|seen) [with no returns|no returns]

[no-returns no-warranty]
(no|without|without any|zero) (warranty|guarantee|warranties|guarantees)
(warranty|guarantee) (excluded|not included|not given)

[off-platform contact]
(message|contact|text|write|reach|add|find) (me|us) (on|via|through|at|by) (whatsapp|telegram|wechat|signal|viber|messenger|phone|email|mail)
(call|text|phone|ring) [me|us] (before|prior to) (buying|buy|purchase|purchasing|ordering|bidding|you buy|you order)
(whatsapp|telegram|wechat|viber|signal) [me|us|number|no|:]
(call|text|phone) (me|us) [on|at|for] [a] [price|better price|discount|number]
outside [of] [the|this] (platform|site|website|marketplace)

[off-platform payment]
(bank|wire|cash|direct) (transfer|deposit) only
(only|payment by|pay by|we accept only|accept only) (bank transfer|wire transfer|western transfer|cash|crypto|bitcoin|friends and family)
(friends and family|friends & family|crypto accepted|pay by crypto|bitcoin only|gift cards)
payment outside

[off-platform cheaper-direct]
(cheaper|discount|better price|lower price|best price) (direct|directly|off site|outside|off line|offline|by phone|if you contact)
(buy|deal|order) direct [from us|with us|and save]

[branding neutral-box]
[in|in a|in the] [plain|neutral|white|brown|unbranded|blank|generic] (neutral box|neutral packaging|neutral packing|plain box|white box|brown box|plain packaging|blank box|unbranded box)
(neutral|plain|white|blank|generic) (carton|packing|package)

[branding no-logo]
(no|without|without any|without a) (logo|logos|brand name|brand|marking|markings|brand marks)
(unbranded|debranded|logo free|blank plate|blank nameplate|no plate|no nameplate)

[branding custom]
(custom|customised|customized|your own) (logo|plate|plates|nameplate|name plate|tag|tags|label|labels|box|boxes|packaging|packing|brand|branding|serial|serial plate)
(logo|logos|nameplate|nameplates|plates) (available|can be added|on request|can be customised|can be customized|customisation|customization|optional)
(we can|can) (print|engrave|laser|stamp) [the|your|any|a|customer] (logo|plate|nameplate|plates|brand|box|label)
(we can|can) (make|supply|add|apply) [your|any|a|custom] (logo|nameplate|plates)
with (logo|plate|nameplate|box) (extra|at extra cost|optional|on request)
(box|boxes|plate|plates|nameplate|serial plate|label|labels|tags) sold separately
(odm|private label|oem service|oem odm|oem / odm|oem & odm|oem and odm) [accepted|available|service|welcome]

[vague-origin imported]
(imported|import quality|imported part|imported quality)
imported (from europe|bearings|materials|parts|components)

[vague-origin technology]
(german|germany|japanese|japan|american|usa|us|european|italian|swiss|british|uk|euro) (technology|engineering|quality|tech|know how|standard|standards|engineered|design|designed)
(technology|engineering) from (germany|japan|the usa|europe)
(german|japanese|american|european|usa|japan|germany) (machines|machinery|equipment|materials)

[domestic-made]
(made|manufactured|produced|built) in [the] (usa|us|u s a|united states|america|germany|uk|united kingdom|england|great britain|britain|eu|italy|france|japan|poland|spain)
(american|usa|uk|british|german) (made|built)

[surplus surplus]
(overrun|over run|overruns|surplus|production surplus|factory surplus|oem surplus|production overrun|factory overrun)
(factory|production) (seconds|rejects|leftover|leftovers)

[surplus same-factory]
[made|produced|manufactured|comes|built] [in|by|from|at] [the] same (factory|production line|assembly line|plant|line|manufacturer|supplier)
same (factory|plant|production line) (no|without|as|different|just no) [the] [logo|box|brand|name|original|oem]
(oem|original) factory (no|without|minus the) logo

[logo-removed]
(logo|logos|brand|name|branding|brand name|mark|marks|marking|plate|trademark|trade mark) [has been|have been|was|were|is|are] (removed|ground off|erased|covered|taken off|milled off|ground|blanked|polished off|filed off|obscured)
(removed|ground off|erased|covered) [the] (logo|brand|name|brand name|mark|plate|trademark) [for|due to|because of]
(de|de) branded (for|due)

[authorised-dealer]
(authorised|authorized|official|approved|appointed|certified) (dealer|distributor|reseller|stockist|agent|partner|dealers|distributors|representative|service partner|service centre|service center)

[reference-only]
[only|just|purely|solely] [used|mentioned|given|listed] (for|as) [a] (reference|identification|compatibility) [purposes] only
[used|mentioned|given|listed] (only|just|purely|solely) (for|as) [a] (reference|identification|compatibility) [purposes]
(brand|names|name|brands|trademarks|logos|marks|numbers) [are|is] [used|mentioned|given|listed|shown] (for|as) (reference|identification) [only|purposes only|purposes]
(not|no) (affiliated|associated|affiliation|association|connected|connection|endorsed|sponsored) [with|by|to]

[upgrade billet]
[upgraded|forged|new] (billet) [wheel|compressor wheel|impeller]

[upgrade upgraded]
(upgraded|upgrade|uprated|hybrid|stage 1|stage 2|stage 3|bigger wheel|ported|tuned)

[gift]
(free|gift|bonus|complimentary) (gift|gasket kit|gasket set|gaskets|fitting kit|tools|tool kit|tool|kit|oil|oil line|t shirt|sticker)
(gift|present) (included|inside|with every order|for free)
(tools|tool kit|gasket kit|fitting kit) (free|as a gift|for free|gift)

# ---- grammar ----

[noun unit]
(turbo|turbos|turbocharger|turbochargers|turbo charger|charger|supercharger)
(chra|cartridge|turbo cartridge|core assembly|core assy|turbo core assembly|center section|centre section|chra cartridge)
(part|parts|unit|product|item|spare|spares|spare part|assembly)

[noun kit]
[gasket|fitting|mounting|repair|rebuild|service|overhaul|installation|seal|stud|bolt|mount] (kit|kits)
(gasket|gaskets|seals|seal set|gasket set|o rings|studs|bolts|fittings)

[noun component]
(actuator|wastegate|nozzle ring|vnt|wheel|impeller|compressor wheel|turbine wheel|shaft|bearing|bearings|housing|housings|compressor housing|turbine housing|vanes|solenoid|sensor|nut|nuts|clamp|oil line|oil pipe|pipe|manifold|heat shield|bracket|paint|plate|plates|nameplate|tag|sticker|hardware|hose|hoses|internals|piston ring|piston rings)

[noun core]
(core|cores|old unit|old turbo)

[noun photo]
(photo|photos|picture|pictures|image|images|pics|pic|photograph|photographs|shots)

[noun packaging]
(box|boxes|packaging|package|packing|carton|wrapping|bag|case|label|labels)

[noun paper]
(manual|invoice|receipt|certificate|certificates|paperwork|documents|document|instructions|leaflet|warranty|warranty card|report|sheet|documentation|packing list)

[noun vehicle]
(engine|engines|car|cars|vehicle|vehicles|mileage|miles|motor|truck|van|gearbox|owner|equipment supplier)

[not]
(not|no|non|without|never|isn't|isnt|aren't|arent|wasn't|neither|nor|dont|don't|doesn't|doesnt|missing|lacks)
(rather than|instead of|not like)

[with]
(with|using|use|used with|uses|plus|incl|including|includes|included|from|by means of|fitted with|contains|containing)

[words]
(the|a|an|this|that|these|and|or|is|are|it|its|of|in|to|you|your|we|our|all|only|very|good|please|will|be|has|have|as|on|at|by|if|any|can|new|brand|used|with|for|not|complete|full)

[unbranded]
(unbranded|no brand|none|does not apply|doesn't apply|not applicable|n / a|na|generic|unbranded / generic|no name|without brand|non branded|unknown|not specified)
