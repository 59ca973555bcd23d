#!/usr/bin/env python3
"""Makes hostile and damaged PDFs: broken.py OUT. The small ones are kept in tests/foreign/broken; the large ones (the
bombs of 1.5 GB, 150000 pages, dictionaries 300000 deep) are made when they are wanted.
"""
import pathlib, sys
import zlib,struct
def f(objs,trailer=b''):
    o=bytearray(b'%PDF-1.7\n');p=[]
    for n,b in enumerate(objs,1): p.append(len(o)); o+=b'%d 0 obj\n'%n+b+b'\nendobj\n'
    s=len(o);o=bytes(o)+b'xref\n0 %d\n0000000000 65535 f \n'%(len(objs)+1)+b''.join(b'%010d 00000 n \n'%x for x in p)
    return o+b'trailer\n<</Size %d/Root 1 0 R%s>>\nstartxref\n%d\n%%%%EOF\n'%(len(objs)+1,trailer,s)
def st(e,d): return b'<</Length %d%s>>\nstream\n'%(len(d),e)+d+b'\nendstream'
def pg(content,res=b'',more=[],entries=b'',font=b'<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>'):
    return f([b'<</Type/Catalog/Pages 2 0 R>>',b'<</Type/Pages/Kids[3 0 R]/Count 1>>',b'<</Type/Page/Parent 2 0 R/MediaBox[0 0 283 141]'+entries+b'/Contents 5 0 R/Resources<</Font<</F 4 0 R>>'+res+b'>>>>',font,content]+more)
T=b'BT /F 9 Tf 20 60 Td (Keep) Tj ET'
def big(n):
    c=zlib.compressobj(9); out=b''
    for _ in range(n//(1<<20)): out+=c.compress(b' '*(1<<20))
    return out+c.flush()
b=big(1536<<20); W={}
W['bomb-1500MB']=pg(st(b'/Filter/FlateDecode',b))
W['bomb-raw-deflate']=pg(st(b'/Filter/FlateDecode',b[2:]))
W['bomb-twice']=pg(st(b'/Filter[/FlateDecode/FlateDecode]',zlib.compress(b,9)))
W['bomb-objstm']=pg(st(b'',T),more=[st(b'/Type/ObjStm/N 1/First 4/Filter/FlateDecode',b)])
small=big(95<<20)
W['just-below-limit-content']=pg(st(b'/Filter/FlateDecode',small))
W['image-huge']=pg(st(b'',b'q 200 0 0 100 0 0 cm /X Do Q '+T),b'/XObject<</X 6 0 R>>',[st(b'/Type/XObject/Subtype/Image/Width 2000000000/Height 2000000000/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode',zlib.compress(b'0'))])
jpeg=bytes.fromhex('ffd8ffe000104a46494600010100000100010000ffc0000b08fffffffe01011100ffda0008010100003f00')+b'\0'*100+b'\xff\xd9'
for flt,d in (('DCTDecode',jpeg),('JPXDecode',b'\0\0\0\x0cjP  \r\n\x87\n'+b'\xff'*100),('JBIG2Decode',b'\0\0\0\0\x30\0\1\0\0\0\x13'+b'\xff'*40),('CCITTFaxDecode',b'\xff'*100)):
    W['image-'+flt]=pg(st(b'',b'q 200 0 0 100 0 0 cm /X Do Q '+T),b'/XObject<</X 6 0 R>>',[st(('/Type/XObject/Subtype/Image/Width 60000/Height 60000/ColorSpace/DeviceGray/BitsPerComponent 8/DecodeParms<</Columns 60000/Rows 60000>>/Filter/'+flt).encode(),d)])
W['cyclic-pages']=f([b'<</Type/Catalog/Pages 2 0 R>>',b'<</Type/Pages/Kids[2 0 R 2 0 R]/Count 2>>'])
W['cyclic-parent']=f([b'<</Type/Catalog/Pages 2 0 R>>',b'<</Type/Pages/Kids[3 0 R]/Parent 3 0 R/Count 1>>',b'<</Type/Pages/Kids[2 0 R]/Parent 2 0 R>>'])
good=pg(st(b'',T))
W['bad-xref']=good.replace(b'0000000',b'9999999')
W['no-xref']=good[:good.index(b'xref')]
W['truncated']=good[:len(good)//2]
W['self-length']=good.replace(b'/Length 32',b'/Length 5 0 R')
W['deep-array']=pg(st(b'',b'['*500000+T))
W['deep-object']=pg(st(b'',T),entries=b'/X '+b'['*300000+b']'*300000)
W['deep-dict']=pg(st(b'',T),entries=b'/X '+b'<</A '*300000)
W['many-q']=pg(st(b'/Filter/FlateDecode',zlib.compress(b'q '*1000000,9)))
W['many-objects']=f([b'<</Type/Catalog/Pages 2 0 R>>',b'<</Type/Pages/Kids[3 0 R]/Count 1>>',b'<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>']+[b'1']*300000)
kids=b' '.join(b'%d 0 R'%n for n in range(3,150003))
W['many-pages']=f([b'<</Type/Catalog/Pages 2 0 R>>',b'<</Type/Pages/Kids['+kids+b']/Count 150000>>']+[b'<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>']*150000)
W['font-wrong-tables']=pg(st(b'',T),more=[b'<</Type/FontDescriptor/FontName/Bad/Flags 4/FontFile2 7 0 R>>',st(b'',b'\0\1\0\0\0\x20'+b'\xff'*4000)],font=b'<</Type/Font/Subtype/TrueType/BaseFont/Bad/FirstChar 0/LastChar 255/Widths['+b'500 '*256+b']/FontDescriptor 6 0 R>>')
W['type3-self']=pg(st(b'',T),more=[st(b'',b'1000 0 d0 BT /F 1 Tf (KKKKKKKKKK) Tj ET')],font=b'<</Type/Font/Subtype/Type3/FontBBox[0 0 1 1]/FontMatrix[1 0 0 1 0 0]/FirstChar 75/LastChar 75/Widths[1]/Encoding<</Differences[75/K]>>/CharProcs<</K 6 0 R>>>>')
cm=b'/CIDInit /ProcSet findresource begin begincmap 1 begincodespacerange <00000000> <FFFFFFFF> endcodespacerange 1 beginbfrange <00000000> <FFFFFFFF> <0041> endbfrange endcmap'
W['cmap-range']=pg(st(b'',T),more=[st(b'',cm)],font=b'<</Type/Font/Subtype/Type1/BaseFont/Helvetica/ToUnicode 6 0 R>>')
W['widths-huge']=pg(st(b'',T),font=b'<</Type/Font/Subtype/Type1/BaseFont/X/FirstChar 0/LastChar 2000000000/Widths['+b'5 '*100000+b']>>')
W['predictor-zero']=pg(st(b'/Filter/FlateDecode/DecodeParms<</Predictor 2/Columns 0>>',zlib.compress(T)))
W['predictor-huge']=pg(st(b'/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 2000000000/Colors 200/BitsPerComponent 16>>',zlib.compress(T)))
W['mediabox-huge']=pg(st(b'',T)).replace(b'0 0 283 141',b'0 0 1e30 1e30')
W['shading-mesh']=pg(st(b'',b'/P sh '+T),b'/Shading<</P<</ShadingType 1/ColorSpace/DeviceRGB/Domain[0 1e9 0 1e9]/Function<</FunctionType 4/Domain[0 1 0 1]/Range[0 1 0 1 0 1]/Length 5>>>>>>')

# Chains and circles of colour spaces, functions, fonts, masks and patterns; what is drawn over and over; what is cheap to
# write and dear to draw. Objects from number 6 on are given in `more`.
# A dark square, so that a code is looked for in the picture of the page.
T=b'5 5 20 20 re f '+T
def packed(e,d): return st(e+b'/Filter/FlateDecode',zlib.compress(d,9))
def form(d,e=b''): return st(b'/Type/XObject/Subtype/Form/BBox[0 0 300 200]'+e,d)
F3=b'<</FunctionType 3/Domain[0 1]/Bounds[]/Encode[0 1]/Functions[%d 0 R]>>'
F2=b'<</FunctionType 2/Domain[0 1]/C0[0]/C1[1]/N 1>>'
SEP=b'/ColorSpace<</C 6 0 R>>'
W['function-circle']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]',F3%7])
W['function-chain']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]']+[F3%(n+1) for n in range(7,60)]+[F2])
W['function-wide']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]']+
    [b'<</FunctionType 3/Domain[0 1]/Bounds['+b'0.1 '*9+b']/Encode['+b'0 1 '*10+b']/Functions['+b'%d 0 R '%(n+1)*10+b']>>' for n in range(7,15)]+[F2])
W['colour-circle']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Indexed 6 0 R 1 <0011>]'])
W['colour-circle-icc']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/ICCBased 7 0 R]',st(b'/N 3/Alternate 6 0 R',b'no profile')])
W['colour-chain']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Pattern %d 0 R]'%n for n in range(7,5000)]+[b'/DeviceRGB'])
W['function-samples']=pg(st(b'',b'/C cs 1 scn '*3000+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]',packed(b'/FunctionType 0/Domain[0 1]/Range[0 1]/Size[8000000]/BitsPerSample 8',bytes(8<<20))])
W['function-program']=pg(st(b'',b'/C cs '+b'1 scn 0 0 9 9 re f '*3000+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]',packed(b'/FunctionType 4/Domain[0 1]/Range[0 1]',b'{'+b'dup pop '*1000000+b'}')])
W['function-program-deep']=pg(st(b'',b'/C cs 1 scn 0 0 9 9 re f '+T),SEP,[b'[/Separation/Ink/DeviceGray 7 0 R]',packed(b'/FunctionType 4/Domain[0 1]/Range[0 1]',b'{'*200000+b'}'*200000)])
W['forms-chain']=pg(st(b'',b'/X Do '+T),b'/XObject<</X 6 0 R>>',[form(b'/X Do',b'/Resources<</XObject<</X %d 0 R>>>>'%(n+1)) for n in range(6,60)]+[form(b'0 0 9 9 re f')])
PAT=b'/Pattern<</P 6 0 R>>'
USE=b'/Pattern cs /P scn 0 0 280 140 re f 0 g '
def tile(step,box,d,e=b'',m=b''): return st(b'/Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 %s %s]/XStep %s/YStep %s/Resources<<%s>>%s'%(box,box,step,step,e,m),d)
W['pattern-tiny-step']=pg(st(b'',USE+T),PAT,[tile(b'0.0001',b'1000',b'0 0 9 9 re f')])
W['pattern-circle']=pg(st(b'',USE+T),PAT,[tile(b'10',b'10',USE,PAT)])
W['pattern-skewed']=pg(st(b'',USE+T),PAT,[tile(b'1e6',b'1e6',b'0 0 9 9 re f',m=b'/Matrix[1 0 1e4 1 0 0]')])
W['pattern-many']=pg(packed(b'',USE*30000+T),PAT,[tile(b'5',b'5',b'0 0 2 2 re f '*50)])
SH=b'/Shading<</S 6 0 R>>'
W['shading-mesh-large']=pg(st(b'',b'/S sh '+T),SH,[packed(b'/ShadingType 4/ColorSpace/DeviceGray/BitsPerCoordinate 1/BitsPerComponent 1/BitsPerFlag 2/Decode[0 300 0 300 0 1]',bytes(90<<20))])
W['shading-mesh-often']=pg(packed(b'',b'/S sh '*20000+T),SH,[packed(b'/ShadingType 4/ColorSpace/DeviceGray/BitsPerCoordinate 8/BitsPerComponent 8/BitsPerFlag 8/Decode[0 300 0 300 0 1]',bytes(1<<20))])
W['shading-lattice']=pg(st(b'',b'/S sh '+T),SH,[packed(b'/ShadingType 5/ColorSpace/DeviceGray/BitsPerCoordinate 1/BitsPerComponent 1/VerticesPerRow 4000000000/Decode[0 300 0 300 0 1]',bytes(40<<20))])
W['shading-patches']=pg(st(b'',b'/S sh '+T),SH,[packed(b'/ShadingType 7/ColorSpace/DeviceGray/BitsPerCoordinate 8/BitsPerComponent 8/BitsPerFlag 8/Decode[0 300 0 300 0 1]',(b'\0'+bytes(range(32))+b'\1\2\3\4')*50000)])
W['shading-often']=pg(packed(b'',b'/S sh '*200000+T),SH,[b'<</ShadingType 2/ColorSpace/DeviceGray/Coords[0 0 300 0]/Function 7 0 R>>',F2])
GS=b'/ExtGState<</G <</SMask<</S/Luminosity/G 6 0 R>>>>>>'
MASK=b'/Group<</S/Transparency/CS/DeviceGray>>'
W['mask-circle']=pg(st(b'',b'q /G gs 0 0 9 9 re f Q '+T),GS,[form(b'/G gs 0 0 9 9 re f',MASK+b'/Resources<<'+GS+b'>>')])
W['mask-often']=pg(packed(b'',b''.join(b'q 1 0 0 1 0 0.%05d cm /G gs 0 0 9 9 re f Q '%n for n in range(20000))+T),GS,[form(b'0 0 9 9 re f',MASK)])
IM=b'q 200 0 0 100 0 0 cm /X Do Q '
X=b'/XObject<</X 6 0 R>>'
def image(e,d): return packed(b'/Type/XObject/Subtype/Image/BitsPerComponent 8'+e,d)
W['image-mask-circle']=pg(st(b'',IM+T),X,[image(b'/Width 9/Height 9/ColorSpace/DeviceGray/SMask 6 0 R',bytes(81))])
W['image-mask-huge']=pg(st(b'',IM+T),X,[image(b'/Width 9/Height 9/ColorSpace/DeviceGray/SMask 7 0 R',bytes(81)),image(b'/Width 60000/Height 60000/ColorSpace/DeviceGray',b'0')])
W['image-often']=pg(packed(b'',IM*15000+T),X,[image(b'/Width 4000/Height 4000/ColorSpace/DeviceGray',b'\xff'*16000000)])
W['image-inline']=pg(st(b'',b'q 200 0 0 100 0 0 cm BI /W 2000000000 /H 2000000000 /BPC 8 /CS /G /F /Fl ID '+zlib.compress(bytes(100))+b' EI Q '+T))
W['image-inline-bomb']=pg(st(b'',b'q 200 0 0 100 0 0 cm BI /W 4000 /H 4000 /BPC 8 /CS /G /F /Fl ID '+b+b' EI Q '+T))
W['image-jpx-inline']=pg(st(b'',b'q 200 0 0 100 0 0 cm BI /W 9 /H 9 /BPC 8 /CS /G /F /JPXDecode ID '+b'\0\0\0\x0cjP  \r\n\x87\n'+b' EI Q '+T))
W['image-indexed-deep']=pg(st(b'',IM+T),X,[image(b'/Width 4000/Height 4000/ColorSpace[/Indexed[/Separation/I/DeviceGray 7 0 R] 255 <'+b'00'*256+b'>]',bytes(16000000)),packed(b'/FunctionType 4/Domain[0 1]/Range[0 1]',b'{'+b'dup pop '*100000+b'}')])
W['image-program']=pg(st(b'',IM+T),X,[image(b'/Width 4000/Height 4000/ColorSpace[/DeviceN[/A/B/C]/DeviceGray 7 0 R]',bytes(48000000)),packed(b'/FunctionType 4/Domain[0 1 0 1 0 1]/Range[0 1]',b'{pop pop '+b'dup pop '*1000+b'}')])
jp=bytes.fromhex('ffd8ffe000104a46494600010100000100010000ffdb004300'+'01'*64+'ffc0000b08ffffffff01011100ffc4001f0000010501010101010100000000000000000102030405060708090a0bffda0008010100003f00')+bytes(100)+b'\xff\xd9'
W['image-dct-lies']=pg(st(b'',IM+T),X,[st(b'/Type/XObject/Subtype/Image/Width 9/Height 9/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/DCTDecode',jp)])
W['image-ccitt-lies']=pg(st(b'',IM+T),X,[st(b'/Type/XObject/Subtype/Image/Width 9/Height 9/ColorSpace/DeviceGray/BitsPerComponent 1/DecodeParms<</K -1/Columns 2000000000/Rows 2000000000>>/Filter/CCITTFaxDecode',b'\x26\xa0'*3000)])
T3=b'<</Type/Font/Subtype/Type3/FontBBox[0 0 1 1]/FontMatrix[1 0 0 1 0 0]/FirstChar 75/LastChar 75/Widths[1]/Encoding<</Differences[75/K]>>/CharProcs<</K 6 0 R>>/Resources<<%s>>>>'
MANY=b'BT /F 9 Tf 20 60 Td ('+b'K'*15000+b') Tj ET'
W['type3-heavy']=pg(packed(b'',MANY),more=[packed(b'',b'1 0 0 0 1 1 d1 '+b'0 0 1 1 re f '*100000)],font=T3%b'')
W['type3-forms']=pg(packed(b'',MANY),more=[st(b'',b'1 0 0 0 1 1 d1 '+b'/X Do '*10)]+[form(b'/X Do '*10,b'/Resources<</XObject<</X %d 0 R>>>>'%(n+1)) for n in range(7,14)]+[form(b'0 0 9 9 re f')],font=T3%b'/XObject<</X 7 0 R>>')
W['xref-stream-huge']=good[:good.index(b'xref')]+b'9 0 obj\n'+packed(b'/Type/XRef/Size 2000000000/Index[0 2000000000]/W[0 0 0]/Root 1 0 R',b'0')+b'\nendobj\nstartxref\n%d\n%%%%EOF\n'%good.index(b'xref')
W['xref-stream-wide']=good[:good.index(b'xref')]+b'9 0 obj\n'+packed(b'/Type/XRef/Size 9/W[9 2000000000 9]/Root 1 0 R',b'0')+b'\nendobj\nstartxref\n%d\n%%%%EOF\n'%good.index(b'xref')
W['object-stream-circle']=pg(st(b'',T),more=[packed(b'/Type/ObjStm/N 2000000000/First 4/Extends 6 0 R',b'6 0 7 0 <<>>')])
W['kids-deep']=f([b'<</Type/Catalog/Pages 2 0 R>>']+[b'<</Type/Pages/Kids[%d 0 R]/Count 1/Parent %d 0 R>>'%(n+1,n-1) for n in range(2,60)]+[b'<</Type/Page/Parent 59 0 R/MediaBox[0 0 9 9]>>'])
W['encrypted-strange']=pg(st(b'',T)).replace(b'/Root 1 0 R',b'/Root 1 0 R/ID[<00><00>]/Encrypt<</Filter/Standard/V 5/R 6/Length 2000000000/P -4/O('+b'0'*48+b')/U('+b'0'*48+b')/OE('+b'0'*32+b')/UE('+b'0'*32+b')/Perms('+b'0'*16+b')/CF<</StdCF<</CFM/AESV3/Length 2000000000>>>>/StmF/StdCF/StrF/StdCF>>')
W['dashes']=pg(st(b'',b'[0.000001] 0 d 1 w 0 0 m 280 140 l S '*50+T))
W['dash-many']=pg(packed(b'',b'['+b'0.00001 '*200000+b'] 0 d 1 w 0 0 m 280 140 l S '+T))
W['curves-huge']=pg(packed(b'',b'0 0 m 1e9 1e9 -1e9 1e9 0 9 c f '*20000+T))
W['lines-huge']=pg(packed(b'',b'1000 w 0 0 m '+b'280 140 l 0 140 l 280 0 l '*20000+b'S '+T))
W['clips-many']=pg(packed(b'',b'0 0 m 300 0 l 150 200 l h W n '*20000+T*200))
W['text-clips']=pg(packed(b'',b'7 Tr BT /F 9 Tf 20 60 Td ('+b'a'*15000+b') Tj ET '+T*100))
W['names-nested']=pg(st(b'',b'/X BDC '*300000+T))
W['resources-circle']=pg(st(b'',b'/X Do '+T),X,[form(b'/Y Do',b'/Resources 7 0 R'),b'<</XObject<</Y 6 0 R/Z 8 0 R>>/Font 7 0 R>>',form(b'/Y Do /Z Do',b'/Resources 7 0 R')])
W['fonts-many']=pg(st(b'',b' '.join(b'/A%d 1 Tf (a) Tj'%n for n in range(3000))),b'/Font<<'+b' '.join(b'/A%d %d 0 R'%(n,n+6) for n in range(3000))+b'>>',[b'<</Type/Font/Subtype/Type1/BaseFont/N%d>>'%n for n in range(3000)])
CIDTO=packed(b'',bytes(90<<20))
W['cid-map-huge']=pg(st(b'',T),more=[b'<</Type/Font/Subtype/CIDFontType2/BaseFont/X/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/CIDToGIDMap 7 0 R/W[0 2000000000 5]>>',CIDTO],font=b'<</Type/Font/Subtype/Type0/BaseFont/X/Encoding/Identity-H/DescendantFonts[6 0 R]>>')
W['font-widths']=pg(st(b'',T),more=[b'<</Type/Font/Subtype/CIDFontType2/BaseFont/X/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/W[0 2000000000 5]>>'],font=b'<</Type/Font/Subtype/Type0/BaseFont/X/Encoding/Identity-H/DescendantFonts[6 0 R]>>')
W['cmap-use-circle']=pg(st(b'',T),more=[b'<</Type/Font/Subtype/CIDFontType2/BaseFont/X/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>>>',st(b'/UseCMap 7 0 R/CMapName/X',b'/X usecmap 1 begincodespacerange <00> <FF> endcodespacerange')],font=b'<</Type/Font/Subtype/Type0/BaseFont/X/Encoding 7 0 R/DescendantFonts[6 0 R]>>')
def sfnt(tables):
    o=b'\0\1\0\0'+struct.pack('>HHHH',len(tables),0,0,0); at=12+16*len(tables); d=b''
    for t,c in tables: o+=t+struct.pack('>III',0,at+len(d),len(c)); d+=c
    return o+d
head=bytes(18)+struct.pack('>H',1000)+bytes(30)+struct.pack('>hh',0,0)
comp=struct.pack('>hhhhh',-1,0,0,9,9)+struct.pack('>HHbb',0x22,1,0,0)*3+struct.pack('>HHbb',0x2,1,0,0)
TTF=sfnt([(b'cmap',struct.pack('>HHHHI',0,1,1,0,12)+struct.pack('>HHH',0,262,0)+bytes([1]*256)),(b'glyf',comp),(b'head',head),(b'hhea',bytes(34)+struct.pack('>H',1)),(b'hmtx',bytes(8)),(b'loca',struct.pack('>HHH',0,0,len(comp)//2)),(b'maxp',struct.pack('>IH',0x10000,2)+bytes(26))])
W['font-circle']=pg(st(b'',T),more=[b'<</Type/FontDescriptor/FontName/Bad/Flags 4/FontFile2 7 0 R>>',st(b'',TTF)],font=b'<</Type/Font/Subtype/TrueType/BaseFont/Bad/FirstChar 0/LastChar 255/Widths['+b'500 '*256+b']/FontDescriptor 6 0 R>>')
subr=b'\x1c\0\0\x0a'
W['font-type1-circle']=pg(st(b'',T),more=[b'<</Type/FontDescriptor/FontName/Bad/Flags 4/FontFile 7 0 R>>',st(b'',b'%!PS-AdobeFont-1.0: Bad\n/FontMatrix [0.001 0 0 0.001 0 0] def\ncurrentfile eexec\n'+bytes(2000))],font=b'<</Type/Font/Subtype/Type1/BaseFont/Bad/FirstChar 0/LastChar 255/Widths['+b'500 '*256+b']/FontDescriptor 6 0 R>>')
chosen=sys.argv[2:]
for k,v in W.items():
    if not chosen or k in chosen: (pathlib.Path(sys.argv[1])/(k+'.pdf')).write_bytes(v)
