# French. Common practice of the trade, from memory, no source; native review wanted.
lang fr
bind before first    # "kit joints d'origine": the noun stands before, the first one is the head

[genuine]
[100 %|100 pour 100] (original|originale|originaux|originales|d'origine|authentique|authentiques)
(veritable|veritables|genuine)
l'original
garanti* (d'origine|original|authentique)
(d'origine|origine) garantie

[genuine genuine scope=unit]
(turbo|turbocompresseur|cartouche|chra) origine
(pièce|pièces|produit|article) (d'origine|original|originale|originales|origine|authentique|constructeur|de marque d'origine)
(pièce|pièces) (de rechange|détachée|détachées) (d'origine|originale|originales)

[genuine factory-original]
[d] origine (constructeur|usine|fabricant|concession|fabriquant|équipementier)
(première monte|1ere monte)
(sortie|sorti) d'usine
(neuf|neuve) (constructeur|d'origine)

[genuine sealed-box]
(boite|emballage|carton) (scellé|scellée) d'origine
(scellé|scellée) (d'usine|d'origine)

[genuine packaging scope=packaging]
(boite|emballage|carton|colis|conditionnement) [du|de] [turbo] (d'origine|original|originale)

[compatible aftermarket]
(adaptable|adaptables|aftermarket|after market|générique|generiques)
(pièce|turbo|turbocompresseur|cartouche) (compatible|compatibles)
(non|pas) (origine|originale|original|oem|constructeur)
[pièce] de (seconde|deuxième|2eme) monte
(pièce|pièces) (alternative|alternatives|équivalente|équivalentes|équivalent|adaptable|adaptables|de remplacement)
équivalent [à|a|au|de]
(équivalente|équivalents) [à|a|au|de]
(qualité|marque) alternative
hors (constructeur|réseau constructeur)
(pièce|turbo) (de|d'un) (fabricant|équipementier) (indépendant|tiers)
interchangeable avec

[compatible compatible-with]
(compatible|compatibles|compatibilité) [avec|pour|sur]

[compatible replaces]
(remplace|remplacent|remplaçant|remplacer)
[en] remplacement (de|du|d|pour)
(turbo|turbocompresseur) de remplacement [pour|de]

[compatible compatible-with]
(adaptable|adaptables|s'adapte|adapte) (sur|à|a|au|pour)

[compatible replaces]
(substitue|se substitue) (à|a|au)

[compatible fits]
(pour|convient|conviennent|destiné|destine)
(convient|conviennent|destiné|destinée|prévu|prevue|conçu) (pour|à|a|au|aux)
(se monte|monté|montage) (sur|pour)

[label]
(turbo|pièce) (d'origine|original) [a été|était|est|ayant été] (remplacé|cassé|hs|changé|défectueux)
(ref|refs|reference|references|numéro|numéros|num|n|nr|code|codes) [pièce|de pièce|constructeur|fabricant|de|du] (d'origine|origine|oem|oe|constructeur|original|originale|originales|originaux|d'oem)
(oem|oe) (ref|refs|reference|numero|numeros|no|code|num)
(oem|oe) :
(réf|références|numéros|numéro) [de] [pièce] [d] (équivalent|équivalentes|équivalence)
pays d'origine
(origine|d'origine) [:] (france|allemagne|italie|chine|japon|espagne|pologne|ue|europe|inconnue|chinoise|allemande|française|italienne|japonaise|europeenne)
origine :
(prix|couleur|état|annonce|peinture|description) (d'origine|original|originale)
(véhicules|modèles|moteurs) (compatibles|compatible)
(attention|gare|méfiez vous) (aux|des) [mauvaises] (copies|contrefacons|imitations)
(méfiez vous|évitez) [les|des|de] (copies|contrefacons|imitations)
copie (de|de la|du) [votre|la] (facture|carte|certificat|passeport|bon)
(photocopie|photocopies|copie de facture)
(pas seulement|non seulement)
(véritable|véritables) (occasion|affaire|bombe|opportunité)
[toute] reproduction (interdite|même|partielle|totale)
(doit|doivent) être (nettoyé*|contrôlé*|testé*|vérifié*)
(moins cher|mieux|moitié prix) (que|de) (l'origine|l'original|le neuf|d'origine)
(au lieu|plutôt) [que|de|du] [l|turbo] (origine|original|d'origine)
pour (plus|toute|toutes|tout|information|me|les|vos)

[hedge oem]
(oem|oes)
(équipementier)

[hedge oem-quality]
(qualité|spécification*|norme*|standard*|niveau) [de|d'un] [pièce|turbo] [d] (origine|oem|oe|original*|constructeur|équipementier*|équipement d'origine|première monte)
(oem|oe) qualité
(aux|selon|suivant|respecte) [les] (normes|spécifications|standards|tolérances|exigences) [du|de|d] (constructeur|origine|oem|fabricant)

[hedge like-original]
(équivalent*|équivalence|identique*|conforme*|similaire|comparable|égal*) [à|au|aux] [l|la|le] [pièce|turbo] [d] (origine|original*|oem|constructeur)
(comme|même qualité que) [l|le|la] [pièce] [d] (origine|original|oem|neuf d'origine)
(type|style|façon) (origine|d'origine|original)

[hedge top-quality]
(haute|top|très haute|première|excellente) qualité
qualité (supérieure|premium|top)

[copy replica]
(copie|copies|réplique|répliques|replica|contrefaçon|contrefaçons|imitation|imitations|clone|un faux|du faux|reproduction|copié|copiée)
(copie|réplique) (chinoise|conforme|parfaite|exacte)

[copy grade]
(copie|replique) 1 : 1
(aaa)

[condition new]
(neuf|neuve|neufs|neuves|jamais monté|jamais montée|jamais utilisé|jamais servi|état neuf)

[condition new-old-stock]
(neuf ancien stock|vieux stock|ancien stock|stock ancien|nos|neuf de stock)

[condition remanufactured]
(remanufacturé*|remanufacture*|reman|refabriqué*)

[condition rebuilt]
(reconditionné*|reconditionne*|rénové*|remis à neuf|remise à neuf|remis en état|réparé*|révisé*|refait|refaite|refait à neuf|reconstruit*)

[condition exchange]
(échange standard|échange|es échange|échange réparation)

[condition core-charge]
(consigne|caution|consigné*|consigne incluse|dépôt de garantie|caution vieille matière|vieille matière)

[condition core]
(carcasse|vieille pièce|ancien turbo|ancienne pièce)

[condition used]
(occasion|d'occasion|usagé*|démonté|démontée|seconde main|de casse|casse auto|accidenté*|récupéré*)

[condition parts-only]
(pour|pour les) pièces [détachées]
(hs|hors service|en panne|défectueux|défectueuse|à réparer|cassé|pour bricoleur|en l'état)

[condition bench-tested]
(équilibré*|testé sur banc|passé au banc|équilibrage|contrôlé sur banc|testé au banc)

[condition tested]
(testé|testée|contrôlé|contrôlée|vérifié|vérifiée)

[condition cleaned]
(nettoyé*|sablé*|microbillé*|poli|polie|décapé*)

[no-returns no-returns]
ni repris ni échangé*
(pas de|aucun|sans|non) (retour|retours|remboursement|reprise|échange|repris|remboursable|rétractation)
(retour|retours) (non acceptés|non accepté|refusé|refusés|impossible)
(vente|ventes) (ferme|définitive|définitives|ferme et définitive)

[no-returns as-is]
(vendu|vendue|vendus|vente|cédé) (en l'état|dans l'état|en état|tel quel|telle quelle|tel que vu)
(tel quel)

[no-returns no-warranty]
(sans|aucune|pas de|hors) [aucune] (garantie|garanties)
garantie (exclue|non incluse)

[off-platform contact]
(contactez|contacter|écrivez|appelez|appeler|joignez|contacte) (moi|nous|par|avant|sur)
(contactez|appelez|contacter|appeler|téléphoner) [moi|nous] avant (achat|d'acheter|l'achat|tout achat|commande|de commander)
(whatsapp|telegram) [:|au|numéro]
(me|nous) (contacter|joindre|écrire|appeler) (par|sur|via|au)

[off-platform payment]
(virement|virement bancaire|espèces|liquide|paiement par virement|crypto) (uniquement|seulement|exclusivement|only)
(uniquement|seulement|exclusivement|paiement uniquement) [par] (virement|espèces|crypto|mandat)
(entre proches|envoi à un proche|paiement entre amis)

[off-platform cheaper-direct]
(moins cher|remise|réduction|meilleur prix) (en direct|hors site|par téléphone|directement|hors plateforme)

[branding neutral-box]
(boite|boîte|emballage|carton|conditionnement) (neutre|neutres|blanc|blanche|sans marque)

[branding no-logo]
(sans|pas de|aucun) (logo|logos|marque|marquage|inscription|plaque)

[branding custom]
(logo|plaque|plaques|boite|emballage|étiquette|marquage) [d'identification|signalétique] (personnalisé|personnalisée|personnalisées|personnalisable|sur demande|au choix|à la demande|possible|disponible|disponibles|vendue séparément)
(votre logo|votre propre logo|votre propre marque)

[vague-origin imported]
(importé|importée|importés|d'importation|pièce d'import|import)

[vague-origin technology]
(technologie|technique|ingénierie|savoir faire|qualité) (allemande|japonaise|européenne|américaine|italienne|allemand|japonais)

[domestic-made]
(fabriqué|fabriquée|fabriqués|produit|made|fabrication) (en|in) (france|allemagne|italie|ue|germany|europe|japon|usa|espagne|pologne)
fabrication (française|allemande|italienne|européenne|japonaise)

[surplus surplus]
(surplus|surproduction|excédent de production)

[surplus same-factory]
[fabriqué|sorti|sortie|issu|issue|produit|fabriquée] [dans|de|par] (la même|même) (usine|chaîne|ligne de production|chaîne de production|fabrique)
(même) (usine|fabricant|chaîne) [sans] [logo]

[logo-removed]
(logo|logos|marque|marquage|nom|plaque|sigle) [a été|ont été|est] (retiré*|supprimé*|effacé*|meulé*|enlevé*|masqué*|limé*|gratté*|caché*)

[authorised-dealer]
(distributeur|revendeur|concessionnaire|partenaire|agent|réparateur|importateur) (agréé*|officiel*|autorisé*|certifié*|exclusif)

[reference-only]
(à titre|pour|comme) [de] (référence|indicatif|identification|comparaison) (uniquement|seulement|exclusivement)
(uniquement|seulement|exclusivement) (à titre|pour|comme) [de|d] (référence|indicatif|identification|comparaison|information)
(citées|cités|données|mentionnées|utilisées|indiquées) (à titre|pour|comme) [de|d] (référence|indicatif|identification|comparaison|information) [uniquement|seulement]
(aucun lien|sans lien|aucune affiliation|non affilié|sans affiliation) [avec|à]

[upgrade billet]
roue (billet|taillée masse|forgée)
(billet|taillé masse|taillée dans la masse)

[upgrade upgraded]
(renforcé*|amélioré*|hybride|modifié*|préparé|upgrade)

[gift]
(kit|joints|kit joints|pochette de joints|outil|outils|outillage|huile) [de joints|joints|de montage] (offert|offerte|offerts|gratuit|gratuits|cadeau|en cadeau)
cadeau (offert|inclus)

[noun unit]
(turbo|turbos|turbocompresseur|turbocompresseurs|cartouche|cartouches|chra|cœur de turbo|coeur)
(pièce|pièces|produit|article|unité|pièce de rechange|pièces de rechange|pièce détachée|pièces détachées)

[noun kit]
(kit|kits|joint|joints|pochette|jeu de joints|kit joints|kit de joints|kit de montage|kit montage|kit réparation|kit de réparation|visserie|goujons|vis)

[noun component]
(actuateur|actionneur|wastegate|géométrie|géométrie variable|roue|turbine|axe|arbre|palier|paliers|carter|durite|tuyau|capteur|électrovanne|collecteur|vanne|poumon|composants|roulements|collier|plaque|étiquette|peinture)

[noun core]
(carcasse|vieille matière|ancien turbo|consigne)

[noun photo]
(photo|photos|image|images|cliché|clichés)

[noun packaging]
(boite|boîte|boites|emballage|emballages|carton|sachet|conditionnement)

[noun paper]
(facture|notice|certificat|manuel|document|documents|bon de garantie|garantie|rapport)

[noun vehicle]
(moteur|moteurs|véhicule|voiture|kilométrage|kilomètres|km|boîte de vitesse|boîte de vitesses|état)

[not]
(pas|non|ni|sans|aucun|aucune|jamais|n'est pas|manque)

[with]
(avec|plus|inclus|incluant|y compris|comprenant|utilisant|muni)

[words]
(le|la|les|l|un|une|des|de|du|d|et|ou|est|c|ce|n|en|au|aux|à|sur|par|pour|dans|votre|notre|nous|vous|très|il|elle|qui|que|mais|neuf|neuve|mon|son|cette|avec|sans|pas|complet|sont|plus|bon|bonne|avant)

[unbranded]
(sans marque|aucune|aucune marque|non applicable|ne s'applique pas|générique|marque inconnue|n / a|non spécifié|inconnue)
