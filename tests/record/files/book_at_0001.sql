-- A book as gylebook 0.1.0 left it at revision 0001, before a book kept tables; written out by SQLite itself.
BEGIN TRANSACTION;
CREATE TABLE book (
	singleton INTEGER NOT NULL, 
	id TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	made_by TEXT NOT NULL, 
	CONSTRAINT pk_book PRIMARY KEY (singleton), 
	CONSTRAINT ck_book_one_row CHECK (singleton = 1)
)
 STRICT

;
INSERT INTO "book" VALUES(1,'3d8c0889-73bd-4160-97d2-609f77a37996','2026-11-25T14:41:10.323+00:00','gylebook 0.1.0');
CREATE TABLE breweries (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	sha256 TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	CONSTRAINT pk_breweries PRIMARY KEY (id), 
	CONSTRAINT uq_breweries_name_version UNIQUE (name, version)
)
 STRICT

;
INSERT INTO "breweries" VALUES('15cce69a-1cae-415a-98c2-1fabf9628b67','The shed behind the orchard',1,'# An invented shed brewery: one electric kettle, a smaller pot with a plate of its own, four fermenters.

name = "The shed behind the orchard"
altitude = "210 m"
room_temperature = "16 °C"
liquor_temperature = "11 °C"
kettle = "kettle"
rinse = "second pot"
foam_room = "10 %"
patience_heat = "100 min"
patience_cool = "50 min"

[vessels.kettle]
name = "kettle"
capacity = "50 L"
dead_volume = "1.2 L"
diameter = "40 cm"
mass = "9 kg"
metal = "stainless"

[vessels."second pot"]
name = "second pot"
capacity = "30 L"
dead_volume = "0.3 L"
diameter = "34 cm"
mass = "5 kg"

[heat_sources.element]
name = "element in the kettle"
kind = "element"
power = "3.5 kW"
vessels = ["kettle"]

[heat_sources.plate]
name = "hot plate"
kind = "hotplate"
power = "2 kW"
vessels = ["second pot"]

[chiller]
kind = "coil"
area = "0.45 m2"
tap = "12 °C"
flow = "9 L/min"
stirred = true
displaces = "0.8 L"

[bag]
mass = "0.35 kg"
hoist = "50 kg"

[fermenters.tall]
name = "tall bucket"
capacity = "15 L"

[fermenters.squat]
name = "squat bucket"
capacity = "15 L"

[fermenters.glass]
name = "glass jug"
capacity = "12.5 L"

[fermenters.wide]
name = "wide bucket"
capacity = "25 L"

[instruments.hydrometer]
name = "hydrometer in its jar"
kind = "hydrometer"
error = "0.0008"
bias = "0.0007"
calibrated = "20 °C"

[instruments.refractometer]
name = "pocket refractometer"
kind = "refractometer"
error = "0.15 °Bx"
bias = "0.1 °Bx"

[instruments.dipstick]
name = "notched dipstick"
kind = "dipstick"
error = "0.3 L"
bias = "0.2 L"
','4340a340d288881c5a008840b18967839df393b3646f6afa6793033da3b6f958','2026-11-25T14:41:11.361+00:00');
CREATE TABLE brews (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	plan_id TEXT NOT NULL, 
	brewery_id TEXT NOT NULL, 
	seed INTEGER NOT NULL, 
	draws INTEGER NOT NULL, 
	program_version TEXT NOT NULL, 
	started_at TEXT NOT NULL, 
	CONSTRAINT pk_brews PRIMARY KEY (id), 
	CONSTRAINT uq_brews_name UNIQUE (name), 
	CONSTRAINT fk_brews_plan_id FOREIGN KEY(plan_id) REFERENCES plans (id), 
	CONSTRAINT fk_brews_brewery_id FOREIGN KEY(brewery_id) REFERENCES breweries (id)
)
 STRICT

;
INSERT INTO "brews" VALUES('234cc071-b1d2-4456-a966-69700e069f05','Orchard amber','635a3f87-3a8e-4f2c-b367-c2617b6dec4a','15cce69a-1cae-415a-98c2-1fabf9628b67',1,400,'0.1.0','2026-03-14T08:00:00+01:00');
CREATE TABLE events (
	seq INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	id TEXT NOT NULL, 
	brew_id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	at TEXT NOT NULL, 
	written_at TEXT NOT NULL, 
	who TEXT NOT NULL, 
	device TEXT NOT NULL, 
	body TEXT NOT NULL, 
	supersedes TEXT, 
	reason TEXT NOT NULL, 
	CONSTRAINT uq_events_id UNIQUE (id), 
	CONSTRAINT uq_events_supersedes UNIQUE (supersedes), 
	CONSTRAINT uq_events_brew_id_id UNIQUE (brew_id, id), 
	CONSTRAINT fk_events_brew_id FOREIGN KEY(brew_id) REFERENCES brews (id), 
	CONSTRAINT fk_events_brew_id_supersedes FOREIGN KEY(brew_id, supersedes) REFERENCES events (brew_id, id), 
	CONSTRAINT ck_events_not_itself CHECK (supersedes <> id)
)
 STRICT

;
INSERT INTO "events" VALUES(1,'0818d171-eda6-439b-b077-11a836f7dff6','234cc071-b1d2-4456-a966-69700e069f05','forecast shown','2026-03-14T08:00:00+01:00','2026-11-25T14:41:11.377+00:00','','','{"figures": {"bag.drained_kg": 12.786852738251945, "bag.end_kg": 12.47268235251447, "bag.lift_kg": 19.002747363800093, "colour_srm": 8.829027230971747, "efficiency.conversion": 0.9299999883750802, "efficiency.fermenter": 0.724014401037279, "efficiency.kettle": 0.8072738543584042, "efficiency.lauter": 0.8740959248862303, "efficiency.lost_after": 0.07912385318274301, "efficiency.lost_in_bag": 0.11557658130794418, "efficiency.lost_undissolved": 0.07000001162491981, "fermenters.plato": 12.859550585142891, "fermenters.volume_l": 36.519754042707554, "grain.absorption_l_per_kg": 0.6029682600594335, "grain.retained_l_per_kg": 1.0800000000170624, "ibu": 28.000000111526425, "kettle.boil_off_l_per_h": 4.522746936769759, "kettle.end.gravity": 1.0519999995081326, "kettle.end.ibu": 28.000000111526425, "kettle.end.level_l": 42.365174284651026, "kettle.end.volume_l": 40.695894112087956, "kettle.preboil.gravity": 1.0526459696928319, "kettle.preboil.level_l": 41.97543958281696, "kettle.preboil.volume_l": 40.3214363187864, "kettle.stays.hops_l": 0.7114548462230139, "kettle.stays.kettle_l": 1.2000002199277024, "kettle.stays.trub_l": 1.776477086188117, "kettle.stays.walls_l": 0.20000002494127997, "kettle.stays_kg": 4.228202696682601, "kettle.steam_kg": 4.514624681181106, "mash.gravity": 1.0644026909742448, "mash.strike_temperature_c": 70.32847341172709, "mash.temperature_c": 66.0, "mash.volume_l": 40.37471017228805, "og": 1.0519999995081326, "portion.bottles.abv": 5.217481866162991, "portion.bottles.colour_srm": 8.829027230971747, "portion.bottles.fg": 1.0118916443015489, "portion.bottles.first_fg": 1.0118916443015489, "portion.bottles.ibu": 28.000000111526425, "portion.bottles.og": 1.0519999995081326, "portion.bottles.packaged_l": 10.390852987795999, "portion.bottles.volume_l": 11.298522316257838, "portion.keg.abv": 5.13871925782351, "portion.keg.colour_srm": 8.829027230971747, "portion.keg.fg": 1.0123885576191731, "portion.keg.first_fg": 1.0123885576191731, "portion.keg.ibu": 28.00000011152643, "portion.keg.og": 1.0519999995081326, "portion.keg.packaged_l": 14.938449076037472, "portion.keg.volume_l": 16.039378711872768, "portion.long.abv": 6.209922922041438, "portion.long.colour_srm": 8.829027230971748, "portion.long.fg": 1.0039789518292328, "portion.long.first_fg": 1.012522010236876, "portion.long.ibu": 28.00000011152643, "portion.long.og": 1.0519999995081326, "portion.long.packaged_l": 8.483466867352702, "portion.long.volume_l": 9.135061686462839, "rinse.gravity": 1.0256075561047984, "rinse.level_l": 24.224826116544307}, "sha256": "878796614c4d82789e96e37e1f05bf77e219539c260d534101e3173da80f2e6f"}',NULL,'');
INSERT INTO "events" VALUES(2,'18cfb8ed-1277-4fd5-ba40-0304739059e8','234cc071-b1d2-4456-a966-69700e069f05','reading','2026-03-14T10:48:00+01:00','2026-11-25T14:41:12.185+00:00','','command line','{"at": "2026-03-14T10:48:00+01:00", "instrument": "scale", "quantity": "mass", "step": "lift", "temperature_c": null, "value": 13.7}',NULL,'');
INSERT INTO "events" VALUES(3,'5b49aca9-d23c-4bfd-bb1c-08e9b8105f73','234cc071-b1d2-4456-a966-69700e069f05','forecast shown','2026-03-14T10:48:00+01:00','2026-11-25T14:41:12.209+00:00','','','{"figures": {"bag.drained_kg": 13.698516584972886, "bag.end_kg": 13.375653586390818, "bag.lift_kg": 18.978398261214515, "colour_srm": 8.978931706940958, "efficiency.conversion": 0.9257627576004286, "efficiency.fermenter": 0.7070463098334112, "efficiency.kettle": 0.7926935674702693, "efficiency.lauter": 0.8603504961531481, "efficiency.lost_after": 0.07942305702203639, "efficiency.lost_in_bag": 0.12981042633688622, "efficiency.lost_undissolved": 0.07423724239957136, "fermenters.plato": 12.845635994965086, "fermenters.volume_l": 35.77863551051922, "grain.absorption_l_per_kg": 0.7000529133840259, "grain.retained_l_per_kg": 1.1804673950542703, "ibu": 28.75241698842202, "kettle.boil_off_l_per_h": 4.522746936769759, "kettle.end.gravity": 1.051941175817164, "kettle.end.ibu": 28.75241698842202, "kettle.end.level_l": 41.59383863843595, "kettle.end.volume_l": 39.95478095353567, "kettle.preboil.gravity": 1.0526081801964957, "kettle.preboil.level_l": 41.077710284174415, "kettle.preboil.volume_l": 39.45910516038858, "kettle.stays.hops_l": 0.7114548462230139, "kettle.stays.kettle_l": 1.2012697935007481, "kettle.stays.trub_l": 1.7944441944169451, "kettle.stays.walls_l": 0.20033212363051808, "kettle.stays_kg": 4.259249746587679, "kettle.steam_kg": 4.514624681181106, "mash.gravity": 1.064144230414419, "mash.strike_temperature_c": 70.3165704812819, "mash.temperature_c": 66.00563805141931, "mash.volume_l": 40.370221985528396, "og": 1.051941175817164, "portion.bottles.abv": 5.227406129724591, "portion.bottles.colour_srm": 8.978931706940955, "portion.bottles.fg": 1.011794292269995, "portion.bottles.first_fg": 1.011794292269995, "portion.bottles.ibu": 28.752416988422024, "portion.bottles.og": 1.051941175817164, "portion.bottles.packaged_l": 10.158340215443712, "portion.bottles.volume_l": 11.053277890179409, "portion.keg.abv": 5.149274354489606, "portion.keg.colour_srm": 8.978931706940955, "portion.keg.fg": 1.0123836095279954, "portion.keg.first_fg": 1.0123836095279954, "portion.keg.ibu": 28.75241698842202, "portion.keg.og": 1.051941175817164, "portion.keg.packaged_l": 14.622609829567512, "portion.keg.volume_l": 15.696340883288645, "portion.long.abv": 6.197610155789542, "portion.long.colour_srm": 8.978931706940955, "portion.long.fg": 1.0039798944629093, "portion.long.first_fg": 1.0124606358756096, "portion.long.ibu": 28.752416988422027, "portion.long.og": 1.051941175817164, "portion.long.packaged_l": 8.28800543629535, "portion.long.volume_l": 8.917629698854846, "rinse.gravity": 1.027047257902475, "rinse.level_l": 25.104270555147977}, "sha256": "0200507dd0f8aa83354793c9010c825ec9fdabdf43ab8806d13b3fd6d05e8d02"}',NULL,'');
INSERT INTO "events" VALUES(4,'6dbbf06a-0468-4422-b3a5-dbeff91cac7a','234cc071-b1d2-4456-a966-69700e069f05','reading','2026-03-14T10:52:00+01:00','2026-11-25T14:41:13.036+00:00','','command line','{"at": "2026-03-14T10:52:00+01:00", "instrument": "scale", "quantity": "mass", "step": "lift", "temperature_c": null, "value": 12.7}','18cfb8ed-1277-4fd5-ba40-0304739059e8','misread');
INSERT INTO "events" VALUES(5,'16d808d9-f1d8-4bd7-ae79-2f1a409c9376','234cc071-b1d2-4456-a966-69700e069f05','forecast shown','2026-03-14T10:52:00+01:00','2026-11-25T14:41:13.060+00:00','','','{"figures": {"bag.drained_kg": 12.699883232454706, "bag.end_kg": 12.390907027084358, "bag.lift_kg": 18.9948092829125, "colour_srm": 8.833997779611746, "efficiency.conversion": 0.9297280968575006, "efficiency.fermenter": 0.7279048411068977, "efficiency.kettle": 0.8126426986472197, "efficiency.lauter": 0.8776630508259613, "efficiency.lost_after": 0.07910297694733937, "efficiency.lost_in_bag": 0.11408803603205359, "efficiency.lost_undissolved": 0.07027190314249937, "fermenters.plato": 12.866423568720679, "fermenters.volume_l": 36.73957250993739, "grain.absorption_l_per_kg": 0.5949439364291899, "grain.retained_l_per_kg": 1.077407070313443, "ibu": 27.80242080445481, "kettle.boil_off_l_per_h": 4.518349974423494, "kettle.end.gravity": 1.0520290570839674, "kettle.end.ibu": 27.80242080445482, "kettle.end.level_l": 42.563290789309946, "kettle.end.volume_l": 40.88604021123783, "kettle.preboil.gravity": 1.052651741643654, "kettle.preboil.level_l": 42.04957542175676, "kettle.preboil.volume_l": 40.39271044970688, "kettle.stays.hops_l": 0.7074546950052487, "kettle.stays.kettle_l": 1.2038804803776293, "kettle.stays.trub_l": 1.766985984610038, "kettle.stays.walls_l": 0.19929174222208323, "kettle.stays_kg": 4.225204437700327, "kettle.steam_kg": 4.510235615197932, "mash.gravity": 1.0643961735725582, "mash.strike_temperature_c": 70.31782060806782, "mash.temperature_c": 65.99979492945965, "mash.volume_l": 40.37071220638883, "og": 1.0520290570839674, "portion.bottles.abv": 5.230747662419841, "portion.bottles.colour_srm": 8.833997779611746, "portion.bottles.fg": 1.0119234347560333, "portion.bottles.first_fg": 1.0119234347560333, "portion.bottles.ibu": 27.80242080445481, "portion.bottles.og": 1.0520290570839674, "portion.bottles.packaged_l": 10.447088945180372, "portion.bottles.volume_l": 11.359330424544936, "portion.keg.abv": 5.144665177698082, "portion.keg.colour_srm": 8.833997779611744, "portion.keg.fg": 1.012422704875825, "portion.keg.first_fg": 1.012422704875825, "portion.keg.ibu": 27.802420804454812, "portion.keg.og": 1.0520290570839674, "portion.keg.packaged_l": 15.026867899136683, "portion.keg.volume_l": 16.112517752379034, "portion.long.abv": 6.216169645641389, "portion.long.colour_srm": 8.833997779611744, "portion.long.fg": 1.0039044299861841, "portion.long.first_fg": 1.0125134004551855, "portion.long.ibu": 27.802420804454815, "portion.long.og": 1.0520290570839674, "portion.long.packaged_l": 8.51739761584043, "portion.long.volume_l": 9.154133342222607, "rinse.gravity": 1.0258751026749198, "rinse.level_l": 24.149034152865973}, "sha256": "3748f3960544fd30bb7cf2b617423aa42e12156f43a68eccfc2c896a632f59fb"}',NULL,'');
CREATE TABLE gylebook_revision (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT gylebook_revision_pkc PRIMARY KEY (version_num)
);
INSERT INTO "gylebook_revision" VALUES('0001');
CREATE TABLE plans (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	sha256 TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	note TEXT NOT NULL, 
	CONSTRAINT pk_plans PRIMARY KEY (id), 
	CONSTRAINT uq_plans_name_version UNIQUE (name, version)
)
 STRICT

;
INSERT INTO "plans" VALUES('b2f73b44-a787-49c2-b8e8-284e3dfa6216','Orchard amber',1,'# One amber wort, divided in three.  Grain, mash and rinse liquor, hops and the starter are left to be
# solved from the aims; five litres of liquor are kept back until the boil is over, so that it has room.

name = "Orchard amber"

[aims]
fermenters = "34 L"
gravity = "1.052"
bitterness = "28 IBU"
odds = "90 %"

[process]
kind = "dunk rinse"
drain = "hung"
crush = "fine"
stirred = true
rinse_temperature = "72 °C"

[liquor]
kettle = "5 L"

[[grist]]
grain = "Vienna malt"
share = "62 %"

[[grist]]
grain = "Munich malt, light"
share = "31 %"

[[grist]]
grain = "caramel malt, medium"
share = "7 %"

[[mash]]
temperature = "66 °C"
time = "60 min"

[boil]
time = "60 min"

[[hops]]
variety = "Perle"
alpha = "7.2 %"
time = "60 min"
bitterness_share = "80 %"

[[hops]]
variety = "Saaz"
alpha = "3.4 %"
time = "15 min"
bitterness_share = "20 %"

[[additions]]
name = "yeast nutrient"
mass = "3 g"
extract = "0 %"
at = "boil"
time = "10 min"

[chill]
to = "19 °C"

[starters.cool]
kind = "stirred"
gravity = "9 °P"
days_before = 2

[portions.keg]
name = "Gate amber"
fermenter = "wide"
share = "44 %"
ferment_at = "16 °C"
yeast = { kind = "Kölsch", form = "liquid", packs = 1, cells = "150 billion", age = "35 d", starter = "cool" }
package = { kind = "keg", co2 = "2.4", after = "24 d" }

[portions.bottles]
name = "Hedge amber"
fermenter = "squat"
share = "31 %"
ferment_at = "24 °C"
yeast = { kind = "Saison, non-diastatic", form = "dry", packs = 1, cells = "180 billion", age = "120 d" }
package = { kind = "bottles", co2 = "2.8", bottle = "0.5 L", after = "28 d" }

[portions.long]
name = "Loft amber"
fermenter = "glass"
share = "25 %"
ferment_at = "19 °C"
yeast = { kind = "American ale, clean", form = "dry", packs = 1, cells = "180 billion", age = "60 d" }
package = { kind = "stays" }
later = { kind = "Brettanomyces secondary", after = "21 d", months = 6 }
','505c8c6d91ddf6c0485603a88859f3f5dc8b87aa63fd9205573def34fb36a0b1','2026-11-25T14:41:11.357+00:00','');
INSERT INTO "plans" VALUES('635a3f87-3a8e-4f2c-b367-c2617b6dec4a','Orchard amber',2,'name = "Orchard amber"

[aims]
fermenters = "34 L"
gravity = "12.859550701527152 °P"
bitterness = "28 IBU"
odds = "90 %"

[process]
kind = "dunk rinse"
drain = "hung"
crush = "fine"
stirred = true
rinse_temperature = "72 °C"
mash_out = false

[liquor]
mash = "33.452502619609405 L"
rinse = "12.2246547155125 L"
kettle = "5 L"

[[grist]]
grain = "Vienna malt"
mass = "5.507001363223852 kg"
kind = "base"
extract = "80.5 %"
extract_scatter = "1 %"
moisture = "4.2 %"
colour = "8 EBC"
holds_more = "0 L/kg"

[[grist]]
grain = "Munich malt, light"
mass = "2.753500681611926 kg"
kind = "base"
extract = "80 %"
extract_scatter = "1 %"
moisture = "4.2 %"
colour = "15 EBC"
holds_more = "0 L/kg"

[[grist]]
grain = "caramel malt, medium"
mass = "0.6217582184284994 kg"
kind = "caramel"
extract = "75 %"
extract_scatter = "2 %"
moisture = "5.5 %"
colour = "120 EBC"
holds_more = "0 L/kg"

[[mash]]
temperature = "66 °C"
time = "60 min"

[boil]
time = "60 min"

[[hops]]
variety = "Perle"
alpha = "7.2 %"
alpha_scatter = "0.72 %"
use = "boil"
time = "60 min"
form = "pellets"
mass = "57.36818788223598 g"
bitterness_share = "80 %"

[[hops]]
variety = "Saaz"
alpha = "3.4 %"
alpha_scatter = "0.34000000000000002 %"
use = "boil"
time = "15 min"
form = "pellets"
mass = "61.207613337111534 g"
bitterness_share = "20 %"

[[additions]]
name = "yeast nutrient"
mass = "3 g"
extract = "0 %"
fermentable = "0 %"
at = "boil"
time = "10 min"
finings = false

[chill]
to = "19 °C"

[starters.cool]
kind = "stirred"
gravity = "9 °P"
volume = "0.7663534544819717 L"
days_before = 2

[portions.keg]
name = "Gate amber"
fermenter = "wide"
share = "44 %"
top_up = "0 L"
ferment_at = "16 °C"

[portions.keg.yeast]
kind = "Kölsch"
form = "liquid"
packs = 1
cells = "150 billion cells"
age = "35 d"
stored_at = "4 °C"
starter = "cool"
attenuation = "77 %"
attenuation_scatter = "2.25 %"
pitch = "1"
lowest = "13 °C"
highest = "19 °C"
primary = "9.5 d"

[portions.keg.package]
kind = "keg"
co2 = "2.4"
bottle = "0.5 L"
after = "24 d"

[portions.bottles]
name = "Hedge amber"
fermenter = "squat"
share = "31 %"
top_up = "0 L"
ferment_at = "24 °C"

[portions.bottles.yeast]
kind = "Saison, non-diastatic"
form = "dry"
packs = 1
cells = "180 billion cells"
age = "120 d"
stored_at = "4 °C"
attenuation = "80 %"
attenuation_scatter = "3 %"
pitch = "0.75"
lowest = "19 °C"
highest = "28 °C"
primary = "8.5 d"

[portions.bottles.package]
kind = "bottles"
co2 = "2.8"
bottle = "0.5 L"
after = "28 d"

[portions.long]
name = "Loft amber"
fermenter = "glass"
share = "25 %"
top_up = "0 L"
ferment_at = "19 °C"

[portions.long.yeast]
kind = "American ale, clean"
form = "dry"
packs = 1
cells = "180 billion cells"
age = "60 d"
stored_at = "4 °C"
attenuation = "77 %"
attenuation_scatter = "2.25 %"
pitch = "0.75"
lowest = "16 °C"
highest = "22 °C"
primary = "5.5 d"

[portions.long.package]
kind = "stays"
bottle = "0.5 L"

[portions.long.later]
kind = "Brettanomyces secondary"
after = "21 d"
months = 6
attenuation = "92 %"
attenuation_scatter = "3.75 %"
','1533676024009c3cf858f042128184aaa34744c06535b390ad3af2e8899755d5','2026-11-25T14:41:11.360+00:00','solved for The shed behind the orchard');
CREATE INDEX ix_events_brew_id_seq ON events (brew_id, seq);
CREATE TRIGGER breweries_no_update BEFORE UPDATE ON breweries BEGIN SELECT RAISE(ABORT, 'breweries are only ever added to'); END;
CREATE TRIGGER breweries_no_delete BEFORE DELETE ON breweries BEGIN SELECT RAISE(ABORT, 'breweries are only ever added to'); END;
CREATE TRIGGER breweries_no_replace BEFORE INSERT ON breweries WHEN EXISTS (SELECT 1 FROM breweries WHERE id = NEW.id OR (name = NEW.name AND version = NEW.version)) BEGIN SELECT RAISE(ABORT, 'breweries are only ever added to'); END;
CREATE TRIGGER plans_no_update BEFORE UPDATE ON plans BEGIN SELECT RAISE(ABORT, 'plans are only ever added to'); END;
CREATE TRIGGER plans_no_delete BEFORE DELETE ON plans BEGIN SELECT RAISE(ABORT, 'plans are only ever added to'); END;
CREATE TRIGGER plans_no_replace BEFORE INSERT ON plans WHEN EXISTS (SELECT 1 FROM plans WHERE id = NEW.id OR (name = NEW.name AND version = NEW.version)) BEGIN SELECT RAISE(ABORT, 'plans are only ever added to'); END;
CREATE TRIGGER brews_no_update BEFORE UPDATE ON brews BEGIN SELECT RAISE(ABORT, 'brews are only ever added to'); END;
CREATE TRIGGER brews_no_delete BEFORE DELETE ON brews BEGIN SELECT RAISE(ABORT, 'brews are only ever added to'); END;
CREATE TRIGGER brews_no_replace BEFORE INSERT ON brews WHEN EXISTS (SELECT 1 FROM brews WHERE id = NEW.id OR name = NEW.name) BEGIN SELECT RAISE(ABORT, 'brews are only ever added to'); END;
CREATE TRIGGER events_no_update BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events are only ever added to'); END;
CREATE TRIGGER events_no_delete BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events are only ever added to'); END;
CREATE TRIGGER events_no_replace BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq OR id = NEW.id OR supersedes = NEW.supersedes) BEGIN SELECT RAISE(ABORT, 'events are only ever added to'); END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('events',5);
COMMIT;
