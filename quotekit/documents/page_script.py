"""What the page does when the customer chooses: one script, run once, that writes texts and never markup.

It reads `page` and calls `figures(tiers, ticks)`, or is told that there are none (`null`).
"""

from __future__ import annotations

MONEY_SCRIPT = """\
function money(n){
  const form=page.money,sign=n<0?1:0,digits=String(Math.abs(n)).padStart(form.digits+1,"0");
  const cut=digits.length-form.digits,rest=digits.slice(cut);
  let whole=digits.slice(0,cut),groups="",size=form.grouping[0];
  while(whole.length>size){
    groups=form.group+whole.slice(-size)+groups;
    whole=whole.slice(0,-size);
    size=form.grouping[1];
  }
  return form.prefixes[sign]+whole+groups+(rest?form.decimal+rest:"")+form.suffixes[sign];
}
"""
"""A whole number of minor units as `money_text` writes it."""

_FIGURES = """\
function priced(option,ticked){
  const t=page.options.map(()=>0),x=new Array(page.ticks).fill(0),amounts={};
  t[page.options[option].live]=1;
  page.extras.forEach((extra,n)=>{if(ticked[n]&&extra.live>=0)x[extra.live]=1;});
  figures(t,x).forEach((amount,n)=>{amounts[page.figures[n]]=amount;});
  return amounts;
}
function difference(option,ticked,n){
  const without=priced(option,ticked.map((tick,m)=>m===n?false:tick));
  const added=priced(option,ticked.map((tick,m)=>m===n?true:tick));
  const total=added.total-without.total,work=added.work-without.work;
  const [adds,takes]=ticked[n]?["It adds","It takes"]:["It would add","It would take"];
  const says=total<0?`${takes} ${money(-total)} off`:`${adds} ${total===0?"nothing":money(total)} to`;
  return `${says} what you pay with ${page.options[option].number} (${money(work)} before tax).`;
}
"""

_TEXTS = """\
function exact(option,ticked,n){
  if(option<0)return "";
  const place=page.extras[n].places[option],number=page.options[option].number;
  if(place===2)return `Included in ${number} already.`;
  if(place===0)return `Not offered with ${number}.`;
  return figures?difference(option,ticked,n):ticked[n]?`Added to ${number}.`:"";
}
function replyLines(option,ticked,total){
  const keys=page.extras.filter((extra,n)=>ticked[n]).map(extra=>extra.key),words=page.reply,one=page.options[option];
  const lines=[words.quote,`${words.option}${one.label} [${one.code}]`];
  lines.push(words.add+(keys.join(words.separator)||words.nothing));
  if(total!==null)lines.push(words.total+money(total).replace(/\\s+/g," "));
  lines.push(words.check);
  return lines;
}
function limitWords(total){
  if(page.limit===null||total===null)return "";
  const over=total-page.limit;
  return over>0?`${money(over)} over your limit of ${money(page.limit)}.`:`Within your limit of ${money(page.limit)}.`;
}
function told(option,count,total){
  const added=count?`, ${count} added`:"",number=page.options[option].number;
  return total===null?`${number}${added}.`:`${number}${added}: ${money(total)} to pay, tax included.`;
}
"""

_FOLLOW = """\
const at=id=>document.getElementById(id);
const radios=[...document.querySelectorAll("#options input")];
const boxes=[...document.querySelectorAll("#extras input")];
const wanted=boxes.map(()=>false);
const always=["subtotal","total","due"];
function follow(){
  const option=radios.findIndex(radio=>radio.checked);
  boxes.forEach((box,n)=>{
    const offered=option<0||page.extras[n].places[option]===1;
    box.disabled=!offered;
    box.checked=offered&&wanted[n];
  });
  const ticked=boxes.map(box=>box.checked);
  boxes.forEach((box,n)=>{
    const place=at(`extra-${n}-exact`);
    place.textContent=exact(option,ticked,n);
    place.hidden=!place.textContent;
  });
  if(option>=0)show(option,ticked);
}
function show(option,ticked){
  const amounts=figures?priced(option,ticked):null,total=amounts?amounts.total:null;
  for(const cell of document.querySelectorAll("[data-figure]")){
    const name=cell.dataset.figure,amount=amounts[name];
    cell.textContent=money(amount);
    cell.parentElement.hidden=amount===0&&!always.includes(name);
  }
  at("not-yet").hidden=true;
  at("no-reply").hidden=true;
  at("yours-chosen").hidden=false;
  at("reply-part").hidden=false;
  at("see").hidden=false;
  at("chosen").textContent=page.options[option].title;
  at("added").replaceChildren(...boxes.filter(box=>box.checked).map(line));
  at("limit").textContent=limitWords(total);
  at("told").textContent=told(option,ticked.filter(Boolean).length,total);
  write(replyLines(option,ticked,total));
}
function line(box){
  const item=document.createElement("li");
  item.dir="auto";
  item.textContent=box.labels[0].textContent;
  return item;
}
function write(lines){
  const reply=at("reply"),mail=at("mail");
  reply.value=lines.join("\\n");
  reply.style.height="auto";
  reply.style.height=`${reply.scrollHeight+4}px`;
  at("copied").textContent="";
  if(mail)mail.href=`mailto:${encodeURIComponent(page.mail).replace("%40","@")}?subject=${
    encodeURIComponent(page.reply.subject)}&body=${encodeURIComponent(lines.join("\\r\\n")+"\\r\\n")}`;
}
"""

_START = """\
async function copy(){
  const reply=at("reply");
  let done=false;
  try{
    await navigator.clipboard.writeText(reply.value);
    done=true;
  }catch{
    reply.focus();
    reply.select();
    try{done=document.execCommand("copy");}catch{done=false;}
  }
  at("copied").textContent=done?"Copied. Paste it into a message to us.":
    "The reply is selected. Copy it, and paste it into a message to us.";
}
for(const input of [...radios,...boxes])input.checked=false;
for(const radio of radios)radio.addEventListener("change",follow);
boxes.forEach((box,n)=>box.addEventListener("change",()=>{wanted[n]=box.checked;follow();}));
at("copy").addEventListener("click",copy);
const [year,month,day]=page.until;
at("expired").hidden=new Date()<new Date(year,month-1,day+1);
for(const id of ["side","sending","bar"])at(id).hidden=false;
follow();
"""

SCRIPT = MONEY_SCRIPT + _FIGURES + _TEXTS + _FOLLOW + _START
