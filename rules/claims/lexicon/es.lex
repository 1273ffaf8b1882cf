# Spanish. Common practice of the trade, from memory, no source; native review wanted.
lang es
bind before first    # "kit de juntas original": the noun stands before, the first one is the head

[genuine]
[100 %|100 por 100|100 por ciento] (original|originales|genuino|genuina|genuinos|auténtico|auténtica|auténticos|legítimo|legítima)
de origen
(oem original|original oem)
genuine

[genuine genuine scope=unit]
(recambio|recambios|repuesto|repuestos|pieza|piezas|refacción|producto|artículo) (original|originales|genuino|genuina|genuinos|genuinas|auténtico|auténtica|legítimo|de origen)

[genuine factory-original]
original (de fábrica|de la casa|del fabricante|de agencia|de concesionario)
[recambio|repuesto] oficial
primer equipo original

[genuine sealed-box]
(caja|embalaje|empaque) (sellada|sellado|precintada|precintado) (original|de fábrica)
(precintado|sellado) (de fábrica|original)

[compatible aftermarket]
(alternativo|alternativa|alternativos|aftermarket|after market|genérico|genérica|adaptable|adaptables)
(turbo|turbocompresor|cartucho) (compatible|compatibles)
(no|non) (genuino|genuina)
(recambio|repuesto|pieza) (no original|equivalente|de sustitución|de reemplazo|de segunda marca|de marca alternativa|adaptable|compatible)
(equivalente|equivalentes) (a|al|de)
(marca|fabricante) (blanca alternativa|alternativa|independiente|propia)
(segunda|otra) marca
intercambiable (con|por)
no (fabricado|hecho) por (el fabricante|la marca)

[compatible compatible-with]
(compatible|compatibles|compatibilidad) [con|para]

[compatible replaces]
(sustituye|reemplaza|sustituto|sustituta|sustituyendo|remplaza|reemplazo|sustitución|suple) [directo|directa] [a|al|de|del|para|por]
(turbo|turbocompresor) de (reemplazo|sustitución|remplazo) [para|de|del]

[compatible fits]
(para|sirve|vale|apto|válido|apta|válida)
(válido|válida|válidos|apto|apta|sirve|vale|adecuado|adecuada|indicado|diseñado|adaptable|valido) (para|en|a)
se (adapta|monta|ajusta) (a|en|al)

[label]
el (turbo|original) [original] (fue|estaba|se|ha sido) (sustituido|roto|rompió|averiado|cambiado|reemplazado)
(referencia*|ref|refs|número*|num|nro|código*) [de|del] [pieza|parte|recambio|fabricante|repuesto] (original*|oem|oe|de origen|de fábrica|fabricante)
(oem|oe) (ref|referencia|referencias|número|número de parte|no|código)
(oem|oe) :
(país|lugar|procedencia) de origen
de origen (español|española|chino|china|alemán|alemana|italiano|italiana|japonés|francés|europeo|desconocido)
(precio|color|estado|pintura|anuncio|descripción) original
(vehículos|modelos|motores|coches) (compatibles|compatible)
(cuidado|ojo|atención) con las [malas|baratas] (copias|imitaciones|réplicas|falsificaciones)
(evite|desconfíe de|evita|no compre) [las|de las] (copias|imitaciones|réplicas)
copia (de|de la|del) (factura|dni|certificado|recibo|pasaporte|documento)
(fotocopia|fotocopias)
(no solo|no solamente)
reproducción (prohibida|total|parcial)
(más barato|mejor|menos) que [el|un|la] (original|nuevo original|alternativo|copia)
(en vez de|en lugar de) [un|el] (original|alternativo)
para (más|mayor|cualquier|toda|todo|su|tu|que|envíos|consultas)

[hedge oem]
(oem|oes)

[hedge oem-quality]
(calidad|especificaci*|estándar*|nivel|norma|grado|prestaciones) [de|del|según] [equipo|pieza|primer] (original*|oem|oe|equipo original|primera monta|de fábrica|fabricante|equipo|origen|genuin*)
(misma|mismo|igual) (calidad|nivel|rendimiento) [que|al|a] [la|el|del] (original|originales|oem|de origen)
[con|según|cumple] [con] [las] mismas (especificaciones|normas|tolerancias) que [el|la] (original|oem|fabricante|pieza original)
(primer equipo|primera monta|equipo original)

[hedge like-original]
(igual|idéntico|idéntica|equivalente|similar|parecido|equiparable|comparable) (al|a|que) [el|la|un] (original|originales|oem|de fábrica)
(como|tipo|estilo|símil) [el|un|al|de] (original|oem|originales|fábrica)
(tan bueno como) [el|un] (original|oem)

[hedge top-quality]
(alta|primera|máxima|excelente|gran) calidad
calidad (premium|superior|top|suprema|a1|aaa)

[copy replica]
(réplica|réplicas|copia|copias|imitación|imitaciones|falso|falsa|clon|falsificación|falsificado|pirata|clónico|clónica|reproducción|copiado)
(copia|réplica|imitación|turbo) (china|chino|exacta|perfecta|barata)

[copy grade]
(copia|réplica) 1 : 1
(aaa|triple a)

[condition new]
(nuevo|nueva|nuevos|nuevas|a estrenar|sin estrenar|sin usar|sin uso|sin montar|nunca montado)

[condition new-old-stock]
(stock antiguo|nuevo de stock|nos|nuevo antiguo stock|stock viejo)

[condition remanufactured]
(remanufacturado*|remanufactura*|reman|refabricado*)

[condition rebuilt]
(reconstruido*|reconstruida*|reacondicionado*|reacondicionada*|reparado*|reparada*|restaurado*|restaurada*|rectificado*|revisado*|renovado*|rehecho)

[condition exchange]
(de intercambio|intercambio|a cambio|con cambio|por intercambio)

[condition core-charge]
(casco|cascos|depósito casco|depósito por casco|fianza|depósito|valor casco)

[condition core]
(pieza vieja|turbo viejo|turbo usado a cambio)

[condition used]
(usado|usada|usados|segunda mano|de desguace|desguace|despiece|desmontado*|ocasión|siniestrado|accidentado)

[condition parts-only]
(para|por) (piezas|despiece|repuestos|reparar)
(averiado|averiada|roto|rota|no funciona|estropeado|estropeada|dañado|dañada|defectuoso)

[condition bench-tested]
(equilibrado|equilibrada|balanceado|balanceada|probado en banco|comprobado en banco|calibrado)

[condition tested]
(probado|probada|comprobado|comprobada|verificado|testado|testeado)

[condition cleaned]
(limpio|limpiado|limpiada|arenado|pulido|chorreado|granallado|pintado)

[no-returns no-returns]
(sin|no se admiten|no se aceptan|no admite|no acepto|no hay|no aceptamos|no admitimos|ni) (devoluciones|devolución|cambios|cambio|reembolso|reembolsos|reclamaciones)
(no hay) (cambios ni devoluciones|devoluciones ni cambios)
(venta|ventas) (final|finales|definitiva)

[no-returns as-is]
(vendido|se vende|tal|vendo|venta) (como está|tal cual|como se ve|en el estado|tal y como está|en estado actual)
(tal cual|tal como está|como se ve|tal y como se ve)

[no-returns no-warranty]
(sin|no tiene|no hay|ninguna) [ninguna] (garantía|garantías)
garantía (excluida|no incluida)

[off-platform contact]
(escríbeme|escríbame|escríbanos|escríbenos|contáctame|contáctenos|contácteme|llámame|llámeme|mándame) [al|por|a|un] [whatsapp|telegram|teléfono|mensaje|correo|antes|móvil]
(antes de) (comprar|pujar|la compra) (contactar|llamar|preguntar|escribir|consulte|llame)
(whatsapp|telegram) [:|al|número]
(consultar|preguntar|llamar|contactar) [por|al] (whatsapp|teléfono|telegram|antes de comprar)

[off-platform payment]
(solo|sólo|únicamente|solamente|pago solo|exclusivamente) [por|con|mediante|pago por] (transferencia|efectivo|bizum|transferencia bancaria|contado|cripto)
(transferencia|pago) (únicamente|solamente|únicamente por transferencia|fuera de la plataforma|fuera de la web)
(pago|envío) (a amigos|entre amigos)

[off-platform cheaper-direct]
(más barato|descuento|mejor precio) (directo|en directo|fuera|por whatsapp|por teléfono|por fuera|tratando directamente)

[branding neutral-box]
(caja|embalaje|empaque|envase) (neutra|neutro|blanca|blanco|genérica|sin marca|genérico)

[branding no-logo]
(sin|no lleva|no tiene) (logo|logotipo|marca|marcas|logos|placa|etiqueta)
marca blanca

[branding custom]
(logo|logotipo|placa|placas|etiqueta|etiquetas|caja|embalaje) [de identificación] (personalizado|personalizada|personalizadas|personalizados|a medida|a petición|disponible|bajo pedido|por separado|a elegir|opcional)
(su propio|tu propio|ponemos su) (logo|logotipo)

[vague-origin imported]
(importado|importada|de importación|importados|importación)

[vague-origin technology]
(tecnología|ingeniería|técnica|calidad) (alemana|japonesa|europea|americana|italiana|suiza)
(tecnología) (de|desde) (alemania|japón|europa)

[domestic-made]
(fabricado|hecho|hecha|producido|fabricada|made) (en|in) (españa|alemania|italia|francia|europa|usa|eeuu|estados unidos|méxico|japón|la ue|germany|polonia)
(fabricación|producción) (española|alemana|nacional|europea|italiana|francesa|japonesa)

[surplus surplus]
(excedente|excedentes|sobrante|sobrantes|sobreproducción|remanentes de fábrica)

[surplus same-factory]
[fabricado|hecho|producido|sale|sacado|procede|fabricados] [en|de] (la misma|misma) (fábrica|línea|línea de producción|planta)
mismo fabricante [sin|pero sin] [logo|logotipo]

[logo-removed]
(logo|logotipo|marca|nombre|placa|logos) [ha sido|fue|está|han sido] (borrado*|eliminado*|quitado*|retirado*|lijado*|tapado*|limado*|borrada*|eliminada*|retirada*|tapada*|lijada*|quitada*)

[authorised-dealer]
(distribuidor|concesionario|vendedor|agente|representante|servicio|taller|distribuidores) (autorizado*|oficial*|homologado|certificado|exclusivo)

[reference-only]
(solo|sólo|únicamente|solamente|exclusivamente|son|meramente) [son] (como|a modo de|para|de|con fines de|a título de) (referencia|identificación|orientación)
(solo|sólo|únicamente|solamente) (a título informativo|con fines informativos)
(mencionan|usan|utilizan|indican|citan|mencionadas|citadas) [solo|únicamente] (como|a modo de|para|de|con fines de) (referencia|identificación|orientación)
(sin|ninguna|no tenemos) (relación|afiliación|vinculación) (con|a|comercial)

[upgrade billet]
(rueda billet|billet|rueda mecanizada|rueda forjada)

[upgrade upgraded]
(mejorado|mejorada|reforzado|reforzada|potenciado|híbrido|modificado|upgrade)

[gift]
(regalo|de regalo|gratis) [un|kit|juego] [de] (juntas|herramientas|aceite|kit|regalo)
(juego de juntas|juntas|kit de montaje|herramientas|kit de juntas|kit) (gratis|de regalo|regalado|regaladas)
(incluye|con) regalo

[noun unit]
(turbo|turbos|turbocompresor|turbocompresores|turbocargador|turboalimentador|cartucho|cartuchos|chra|core|conjunto central|turbina)
(pieza|piezas|producto|artículo|unidad|recambio|recambios|repuesto|repuestos|refacción|refacciones)

[noun kit]
(kit|kits|junta|juntas|juego|juego de juntas|kit de juntas|kit de montaje|kit de reparación|tornillería|espárragos|tornillos|retenes)

[noun component]
(actuador|wastegate|geometría|geometría variable|rueda|eje|cojinete|cojinetes|carcasa|tubo|manguito|sensor|electroválvula|colector|válvula|pulmón|componentes|rodamientos|abrazadera|placa|etiqueta|pintura|caracola|tubería)

[noun core]
(casco|cascos|turbo viejo|pieza vieja)

[noun photo]
(foto|fotos|imagen|imágenes|fotografía|fotografías)

[noun packaging]
(caja|cajas|embalaje|empaque|envase|bolsa|paquete|cartón)

[noun paper]
(factura|manual|certificado|documento|documentos|documentación|garantía|recibo|informe)

[noun vehicle]
(motor|motores|vehículo|coche|kilometraje|kilómetros|km|caja de cambios|estado|carro)

[not]
(no|sin|ni|ningún|ninguna|nunca|tampoco|non|falta)

[with]
(con|más|incluye|incluido|incluyendo|usando|utilizando|junto)

[words]
(el|la|los|las|un|una|de|del|y|o|es|son|en|al|a|por|para|su|sus|muy|este|esta|lo|que|se|pero|con|sin|no|como|todo|solo|estado|buen|nuevo|nueva|completo|antes)

[unbranded]
(sin marca|no aplicable|no aplica|ninguna|genérico|genérica|no corresponde|marca desconocida|no procede|n / a|desconocida)
