"""Name the published sources of the model's numbers, each under a short key.

In:  a key, as a figure or a table row carries it.
Out: a `Source`: its citation and how well it is confirmed.

Idea: a number is worth what its source is worth, so the source says itself whether it was read, seen
quoted, remembered, or is the custom of the trade.  Nothing here knows which number rests on it.

Words of the notes: *confirmed*, the source or the part used was read; *abstract*, only its abstract or
opening was; *second-hand*, seen quoted elsewhere; *from memory*, not opened for this project.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Source:
    """One source: its key, where to find it, and how well what is used of it is confirmed."""

    key: str
    citation: str
    note: str


_ALL = (
    # What is not a publication.
    Source("brewery-file", "The brewer's own brewery file", "the brewer's word"),
    Source("house", "Learned from the brews in this book", "as good as its readings"),
    Source("common-practice", "Custom of the trade", "no source; wide by nature"),
    Source("judgement", "A choice of this project where no measurement was found",
           "to be replaced by own figures"),
    Source("derived", "Worked out from definitions and balances of mass and heat", "computed"),
    Source("trade-ranges", "Typical ranges of trade data sheets for malts, sugars and hops",
           "from memory; a lot analysis overrides it"),
    Source("yeast-kinds", "Kinds of yeast as the trade describes them", "common practice; ranges wide"),
    # Water, wort, sugar.
    Source("kell-1975", "G. S. Kell, J. Chem. Eng. Data 20 (1975) 97",
           "numerator confirmed in a reprint, denominator 16.879850e-3 by agreement with IAPWS-95 within "
           "0.015 kg/m³"),
    Source("cipm-2001", "Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301",
           "form confirmed, coefficients from memory"),
    Source("iapws-95", "Wagner and Pruß, J. Phys. Chem. Ref. Data 31 (2002) 387",
           "through a reference library"),
    Source("iapws-if97", "IAPWS-IF97, industrial formulation for water and steam",
           "through a reference library"),
    Source("sucrose-table-umk",
           "Table of densities of sucrose solutions, physics department of a university "
           "(wwwold.fizyka.umk.pl, node 18305)",
           "confirmed; a relative density times 1000, so 0.03 kg/m³ high"),
    Source("choi-okos-1986", "Choi and Okos (1986), specific heat of carbohydrate, mixed by mass with water",
           "from memory"),
    Source("plato-table",
           "Plato, Kaiserliche Normal-Eichungs-Kommission 1900; NBS Circular 440 (1942), tables 113-114",
           "values from memory; a university table agrees within 0.03 kg/m³"),
    Source("icumsa-sps4",
           "ICUMSA SPS-4; Bubník, Kadlec, Urban, Bruhns, Sugar Technologists Manual (1995); Emmerich, "
           "Zuckerindustrie 119 (1994) 120",
           "coefficients confirmed in two transcriptions, titles from memory; above 80 °C extrapolated"),
    Source("icumsa-sps3", "ICUMSA SPS-3, refractive index of sucrose at 20 °C, 589 nm", "from memory"),
    Source("sugar-heat-capacity",
           "Heat capacity of sugar solutions as used in the sugar industry; Bubník et al., Sugar "
           "Technologists Manual (1995)",
           "confirmed in a transcription citing Llano 2005; the manual from memory"),
    Source("genotelle-1978", "Génotelle (1978), in Mathlouthi and Reiser, Sucrose (1995)", "from memory"),
    Source("norrish-1966", "Norrish, J. Food Technol. 1 (1966) 25", "from memory"),
    Source("iso-2533", "ISO 2533 standard atmosphere", "from memory"),
    Source("iso-1768", "ISO 1768:1975, cubic expansion of a glass hydrometer 25e-6/K", "confirmed"),
    Source("en-10088-1", "EN 10088-1, stainless steel 1.4301: 500 J/(kg K), 16.0e-6/K to 100 °C",
           "from memory"),
    Source("dulong-petit", "Law of Dulong and Petit, 3 R a mole; molar masses of metals", "from memory"),
    Source("nbs-c440-hydrometer",
           "NBS Circular 440 and AOAC 900.03, temperature correction of Brix hydrometers, after Plato",
           "values from memory"),
    Source("iso-1743", "ISO 1743:1973, as GOST R 50546-93: refractive index of glucose syrup",
           "confirmed; reads 1.043-1.045 of its dry matter from 4 to 30 %"),
    Source("oiv-refractometer", "OIV-MA-AS2-02, table I: temperature correction of a refractometer",
           "confirmed"),
    Source("barth-refractometer",
           "Tornøe and Barth, refractometric analysis of beer, in an old textbook chapter",
           "confirmed; agrees with the physical model within 1-3 %"),
    # Alcohol and extract.
    Source("oiml-r22", "OIML R 22 (1975), international alcoholometric tables",
           "form confirmed in Council Directive 76/766/EEC, coefficients in several transcriptions"),
    Source("oiml-r22-tables", "OIML R 22 (1975), rows of the printed tables", "from memory"),
    Source("tabarie",
           "Tabarié's rule: beer's density is that of its extract and that of its alcohol, less water's",
           "common knowledge of the trade; ethanol's effect on sugar neglected, see hackbarth-2009"),
    Source("hall-1995", "M. L. Hall, “Brew by the numbers”, Zymurgy 18(2) (1995)",
           "opening of a scan; formula second-hand"),
    Source("savel-2020", "Savel et al., Kvasny Prumysl 66 (2020) 239, degree of fermentation", "abstract"),
    Source("eu-1169-2011", "Regulation (EU) 1169/2011, annex XIV: 29 kJ/g alcohol, 17 kJ/g carbohydrate",
           "from memory"),
    Source("balling",
           "Balling's balance: 2.0665 g extract to 1 g alcohol, 0.9565 g CO2, 0.11 g yeast; Nielsen, "
           "Kristiansen, Lassen, Erikstrøm, Brauwelt Int. 2007",
           "confirmed in that review, one figure there misprinted"),
    Source("cutaia-2009", "Cutaia, Reid, Speers, J. Inst. Brew. 115 (2009) 318-327",
           "abstract and parts of tables III and VI confirmed"),
    Source("hackbarth-2009", "Hackbarth, J. Am. Soc. Brew. Chem. 67 (2009) 146 and 69 (2011) 39",
           "titles confirmed, not opened"),
    Source("asbc-beer-33", "ASBC Methods of Analysis, Beer-33, calories; Oxford Companion to Beer",
           "second-hand"),
    # Carbon dioxide.
    Source("weiss-1974", "Weiss, Marine Chemistry 2 (1974) 203", "confirmed in several transcriptions"),
    Source("wilhelm-1977", "Wilhelm, Battino and Wilcock, Chem. Rev. 77 (1977) 219", "from memory"),
    Source("carroll-1991", "Carroll, Slupsky and Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201",
           "from memory"),
    Source("iapws-g7-04", "IAPWS G7-04, Henry's constants", "through a reference library; 3 % low near 0 °C"),
    Source("phreeqc-dat", "phreeqc.dat, the data of a program for aqueous chemistry",
           "through a reference library"),
    # What is dissolved in water.
    Source("phreeqc", "PHREEQC (IPhreeqc 3.7.3), a program for aqueous chemistry, with phreeqc.dat",
           "run by the tests; constants of carbonate and of pairs are shared with it, solver and activities "
           "are not"),
    Source("plummer-busenberg-1982", "Plummer and Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011",
           "form, coefficients and 25 °C confirmed in its abstract"),
    Source("harned-1943",
           "Harned and Davis, J. Am. Chem. Soc. 65 (1943) 2030; Harned and Scholes, ibid. 63 (1941) 1706; "
           "Harned and Hamer, ibid. 55 (1933) 2194", "from memory"),
    Source("bates-1951", "Bates, J. Res. NBS 47 (1951) 127; Bates and Acree, ibid. 30 (1943) 129",
           "first step confirmed in an abstract, second from memory"),
    Source("bates-pinching-1949", "Bates and Pinching, J. Am. Chem. Soc. 71 (1949) 1274, through a later fit",
           "abstract, which prints two signs wrong; pK at 25 °C from memory"),
    Source("martin-tartar-1937", "Martin and Tartar, J. Am. Chem. Soc. 59 (1937) 2672", "second-hand"),
    Source("davies-1962", "Davies, Ion Association (1962); Malmberg and Maryott, J. Res. NBS 56 (1956) 1",
           "from memory"),
    # Liquor and mash pH.
    Source("kolbach-1953", "P. Kolbach, Monatsschrift für Brauerei 6 (1953) 49, residual alkalinity",
           "from memory; published divisors of calcium run from 2 to 5"),
    Source("delange-2015", "A. J. deLange, MBAA Tech. Quarterly 52 (2015) 3, the proton condition of a mash",
           "abstract"),
    Source("malt-titrations",
           "Titrations of malts: Troester (2009); deLange in Palmer and Kaminski, Water (2013)",
           "remembered and rounded, wide on purpose"),
    Source("briggs-2004", "Briggs, Boulton, Brookes, Stevens, Brewing: Science and Practice (2004)",
           "second-hand; others have a shift of 0.2 to 0.3 where it has 0.35 at 65 °C"),
    Source("vu-2005", "Vu et al. (2005), oligomers in strong lactic acid",
           "second-hand; what acts is an estimate"),
    Source("span-wagner-1996", "Span and Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509",
           "through a reference library"),
    Source("alduchov-eskridge-1996", "Alduchov and Eskridge, J. Appl. Meteorol. 35 (1996) 601",
           "from memory; within 0.3 % of IAPWS to 40 °C"),
    Source("virial-co2", "Second virial coefficient of CO2, −149 cm³/mol at 0 °C, of handbooks",
           "from memory, ± 3"),
    Source("atomic-masses", "Atomic masses of IUPAC, rounded to 0.001", "from memory"),
    Source("rammert-pahl-1991", "Rammert and Pahl, Brauwelt 131 (1991) 488",
           "numbers confirmed, source from memory; sound from 2 to 22 °C only"),
    Source("carbonation-table", "Miller, BrewingTechniques 2(1) (1994), table I",
           "confirmed; where the trade's chart comes from is unknown"),
    Source("speers-macintosh-2013", "Speers and MacIntosh, J. Am. Soc. Brew. Chem. 71 (2013) 242-247",
           "abstract"),
    # Mash and rinse.
    Source("ebc-laboratory-mash", "EBC 4.5.1 and ASBC Malt-4, extract of malt by the laboratory mash",
           "from memory"),
    Source("rittenauer-2021", "Rittenauer et al., Foods 10 (2021) 1733", "confirmed"),
    Source("brandam-2003", "Brandam et al., Biochem. Eng. J. 13 (2003) 43-52",
           "reference confirmed, rate constants from memory; beta-amylase likely lost too fast above 65 °C"),
    Source("harris-macwilliam-1961", "Harris and MacWilliam, J. Inst. Brew. 67 (1961)", "abstract"),
    Source("chandrasekhar-mash",
           "Brewing trial by Chandrasekhar, reported in a web article of 2014: 65, 70, 75, 80 °C gave 82, "
           "70, 50, 30 % apparent attenuation",
           "second-hand; one trial of four points"),
    Source("evans-2012", "Evans et al., J. Am. Soc. Brew. Chem. 70 (2012) 39-49", "abstract"),
    Source("hamilton-lewis-1974", "Hamilton and Lewis, MBAA Tech. Quarterly 11 (1974) 31-34", "abstract"),
    Source("retained-wort",
           "A squeezed bag weighed and dried (public forum thread); an analysis of batch rinsing by "
           "Troester; spent grain reviews",
           "confirmed, but few measurements: weigh your own bag once"),
    Source("grain-displacement",
           "Mailing list for home brewers, digest 1792 (1995): a pound of malt and a quart of water make 42 "
           "fl oz",
           "confirmed; agrees with the density of dry solids"),
    Source("palmer-lautering", "Palmer, “Lautering efficiency”, trade magazine",
           "confirmed: equal run-offs are best"),
    Source("slaking-heat",
           "Brewing Room Book 1984/85, corrections of the strike temperature, as tabulated in a supplier's "
           "appendix",
           "second-hand; the ratio behind it is assumed"),
    Source("kettle-vapour", "A paper on kettle vapour condensers: about 14 kWh/hL for 12 % evaporation",
           "seen; title not kept"),
    # Heat, boil, cooling.
    Source("churchill-chu-1975",
           "Churchill and Chu, free convection at a vertical wall; radiation of dull steel",
           "from memory; computed for a 60 L kettle"),
    Source("bower-saylor-2009", "Bower and Saylor, Int. J. Heat Mass Transfer 52 (2009) 3055",
           "from memory; such correlations miss by up to 26 %"),
    Source("burner-tests",
           "Measured efficiency of a gas hob heating water (42 %); Bhatt et al. 2011, Khan and Saxena 2013 "
           "(51-64 % in pan tests); electric heaters by custom",
           "confirmed for gas, from memory for electric"),
    Source("kern-1950", "Kern, Process Heat Transfer, batch cooled by a coil; coefficients after Perry",
           "equation confirmed in a worksheet, coefficients in an engineering article"),
    Source("barchet-break", "Barchet, BrewingTechniques 2(2), cold break", "confirmed"),
    # Hops and colour.
    Source("malowicki-2005", "Malowicki and Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439",
           "abstract; measured from 90 to 130 °C, constants to two figures"),
    Source("malowicki-thesis-2004", "Malowicki, M.S. thesis, Oregon State University (2004)", "abstract"),
    Source("kappler-2010",
           "Kappler, Krahl, Geissinger, Becker, Krottenthaler, J. Inst. Brew. 116 (2010) 332-338",
           "abstract"),
    Source("jacobsen-hage-1989", "Jacobsen, Hage, Kristensen, Malterud, J. Am. Soc. Brew. Chem. 47 (1989) 62",
           "abstract: 30 to 75 % of the alpha acids in the wort of six breweries"),
    Source("tinseth-1997", "G. Tinseth, hop utilisation numbers (1997)", "confirmed; boil only"),
    Source("nickerson-likens-1979", "Nickerson and Likens, J. Am. Soc. Brew. Chem. 37 (1979) 184",
           "abstract"),
    Source("hop-trade-index", "A text of the hop trade: storage index 0.31, 10 % lost", "second-hand"),
    Source("algazzali-2016", "Algazzali and Shellhammer, J. Am. Soc. Brew. Chem. 74 (2016) 36-43",
           "abstract"),
    Source("parkin-2017", "Parkin and Shellhammer, J. Am. Soc. Brew. Chem. 75 (2017) 363-368", "abstract"),
    Source("dry-hop-ph", "A trade note on dry hopping: pH rises 0.14 for a pound a US barrel", "confirmed"),
    Source("garetz-1994", "Garetz, BrewingTechniques 2(1) (1994), storage of hops",
           "formula confirmed but for a sign, storage factors from memory"),
    Source("morey-colour", "D. A. Morey, “Beer's law”, letter in BrewingTechniques",
           "confirmed; fitted to two other formulas, not to beers"),
    Source("mosher-1994", "R. Mosher, The Brewer's Companion (1994): SRM = 0.3 MCU + 4.7 above 7 MCU",
           "from memory"),
    Source("daniels-1996", "R. Daniels, Designing Great Beers (1996): SRM = 0.2 MCU + 8.4 above 11 MCU",
           "from memory"),
    Source("asbc-beer-10", "ASBC Beer-10 and EBC 9.6, colour at 430 nm; Stone and Miller (1949): A700/A430",
           "confirmed in slides of deLange (2007)"),
    Source("cie-018", "CIE 018 and ISO/CIE 11664: the 2° observer and D65, summed by ASTM E308",
           "through a reference library"),
    Source("iec-61966-2-1", "IEC 61966-2-1, the sRGB of screens and its white",
           "through a reference library"),
    Source("delange-spectrum",
           "A. J. deLange, “Color”, in Bamforth (ed.), Brewing Materials and Processes (2016)",
           "constants from memory"),
    Source("viggiano-2006",
           "Viggiano (2006), Rochester Institute of Technology: Beer's law holds for beer and wort",
           "abstract"),
    # Yeast and fermentation.
    Source("fix-1997", "G. and L. Fix, An Analysis of Brewing Techniques (1997), pitching rates",
           "second-hand"),
    Source("starter-growth",
           "Troester, home experiments on yeast growth (2012); F. L. Johnson, mailing list for home brewers,"
           " digest 5845 (2011)",
           "first from memory, second confirmed; an uncounted starter is known to 40 % at best"),
    Source("white-zainasheff-2010", "White and Zainasheff, Yeast (2010), growth in still starters",
           "one row confirmed, others second-hand"),
    Source("mccaig-bendiak-1985", "McCaig and Bendiak, MBAA Tech. Quarterly 22 (1985)", "abstracts"),
    Source("yeast-makers", "Makers' texts on the keeping of packs: liquid at 30 days, dry a year",
           "second-hand"),
    Source("speers-2003", "Speers, Rogers, Smith, J. Inst. Brew. 109 (2003) 229-235; ASBC Yeast-14",
           "abstract"),
    Source("brettanomyces-succession",
           "De Roos, Vandamme, De Vuyst, Front. Microbiol. 9 (2018) 2763; Tyrawa et al., J. Inst. Brew. 2019",
           "second-hand; strains differ widely"),
    Source("fermentation-heat", "587 kJ per kg of extract fermented, brewing engineering texts",
           "from memory; a trade figure agrees"),
    Source("trade-heat", "A figure of the trade: 252 BTU for a pound of extract", "second-hand"),
    Source("combustion-heats", "Heats of combustion and of solution of glucose and ethanol, of handbooks",
           "from memory"),
    # Tasting.
    Source("fao-v7180e", "FAO V7180E, appendix: smallest significant numbers of the triangle test",
           "confirmed, all entries; ISO 4120 is of the same construction and was not opened"),
    Source("iso-5495", "ISO 5495:2005, paired comparison, table A.1, and Amd. 1:2016",
           "confirmed as adopted elsewhere"),
    Source("iso-8587", "ISO 8587, ranking; its annex example of eight assessors", "second-hand"),
    Source("friedman-1937", "Friedman, J. Am. Stat. Assoc. 32 (1937) 675, ranks of several samples",
           "from memory; by counting all orders in a second program"),
    Source("ennis-1993", "Ennis, J. Sens. Stud. 8 (1993) 353, power of discrimination tests",
           "from memory; held by simulation"),
    Source("ennis-jesionka-2011", "Ennis and Jesionka, J. Sens. Stud. 26 (2011) 371, power of the tetrad",
           "from memory; held by simulation"),
    Source("thurstone-1927", "Thurstone, Psychol. Rev. 34 (1927) 273, a law of comparative judgment",
           "from memory"),
    Source("flat-prior", "Share of tasters who tell, from a flat prior on it; posterior worked out beside",
           "computed"),
    # Safety.
    Source("burn-times", "Burn Foundation: full-thickness burns in about 5 s at 60 °C, 1 s at 69 °C",
           "second-hand"),
    Source("hse-l23",
           "HSE L23, manual handling: about 25 and 16 kg close to the body at waist height, 10 and 7 kg at "
           "head height",
           "from memory"),
)  # fmt: skip

SOURCES: Mapping[str, Source] = MappingProxyType({source.key: source for source in _ALL})


def cite(key: str) -> str:
    """Citation and note of a source, as a face prints them behind a number."""
    if key not in SOURCES:
        raise ValueError(f"no source is listed under {key!r}; add it to figures/sources.py")
    source = SOURCES[key]
    return f"{source.citation} ({source.note})"
