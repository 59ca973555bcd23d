#!/usr/bin/env python3
"""Makes hostile and damaged PDFs: broken.py OUT. The small ones are kept in tests/foreign/broken; the large ones (the
bombs of 1.5 GB, 150000 pages, dictionaries 300000 deep) are made when they are wanted.
"""
import pathlib, sys
import zlib,struct
def f(objs,trailer=b''):
    o=b'%PDF-1.7\n';p=[]
    for n,b in enumerate(objs,1): p.append(len(o)); o+=b'%d 0 obj\n'%n+b+b'\nendobj\n'
    s=len(o);o+=b'xref\n0 %d\n0000000000 65535 f \n'%(len(objs)+1)+b''.join(b'%010d 00000 n \n'%x for x in p)
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
for k,v in W.items(): (pathlib.Path(sys.argv[1])/(k+'.pdf')).write_bytes(v)
