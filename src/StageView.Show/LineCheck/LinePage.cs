using System.Text.Encodings.Web;
using System.Text.Json;

namespace StageView.Show.LineCheck;

/// <summary>The page on which a person on stage ticks what lit: live, or of a capture, which is then played beside it.</summary>
public static class LinePage
{
    private static readonly JsonSerializerOptions s_json = new(JsonSerializerDefaults.Web) { Encoder = JavaScriptEncoder.Default };

    /// <param name="rig">The rig's name.</param>
    /// <param name="plan">The fixtures.</param>
    /// <param name="hold">Of a capture: how long each is lit, s; null for a live one, which the page drives.</param>
    public static string Write(string rig, LinePlan plan, double? hold)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var data = JsonSerializer.Serialize(new { rig, hold, steps = plan.Steps, notLit = plan.NotLit }, s_json);
        return Page.Replace("%TITLE%", HtmlEncoder.Default.Encode("Line check of " + rig), StringComparison.Ordinal)
            .Replace("%DATA%", data, StringComparison.Ordinal);
    }

    private const string Page = """
        <!doctype html>
        <html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>%TITLE%</title>
        <style>
        :root{color-scheme:dark;font:18px/1.4 system-ui,sans-serif;background:#0e1113;color:#efebe2}
        body{margin:0 auto;max-width:40rem;padding:.8rem}h1{font-size:1.05rem;margin:0 0 .6rem}
        #now{position:sticky;top:0;background:#20262a;border:1px solid #3a4248;border-radius:.6rem;padding:.8rem}#name{font-size:1.6rem;font-weight:600}
        .dim{color:#bdb8ac}.row{display:flex;gap:.6rem;margin-top:.7rem}button{font:inherit;color:inherit;background:#20262a;border:1px solid #6b757c;
        border-radius:.5rem;padding:.6rem .8rem;min-height:3rem;cursor:pointer}.row button{flex:1}#yes{background:#1f4a31}#no{background:#5a241c}
        button:focus-visible{outline:3px solid #7fd1c7}ol{padding:0;list-style:none}li{display:flex;gap:.5rem;border-bottom:1px solid #3a4248;padding:.2rem 0}
        li button{flex:1;text-align:left;border:0;background:none;padding:.3rem}li{scroll-margin-top:17rem}li[aria-current] button{background:#20262a}
        .mark{width:5.2rem;text-align:right;align-self:center}.answered{color:#a6d99f}.noAnswer{color:#ff9a85}
        </style></head><body>
        <h1>%TITLE%</h1>
        <section id="now" aria-live="polite"><div class="dim" id="where"></div><div id="name"></div><div id="what"></div>
        <div class="row"><button id="yes">It lit</button><button id="no">It did not</button></div>
        <div class="row"><button id="back">Back</button><button id="next">Next</button><button id="end">End</button></div></section>
        <p id="sum" role="status"></p><p id="lost" class="noAnswer" role="alert"></p><ol id="list"></ol>
        <p class="dim" id="left"></p>
        <script>
        const data=%DATA%, live=data.hold===null, $=id=>document.getElementById(id), words={open:"",answered:"lit",noAnswer:"did not"};
        const key="stageview line check "+location.pathname, list=$("list");
        let at=0, marks=data.steps.map(()=>"open"), ended=false;
        if(!live){
          try{ const kept=JSON.parse(localStorage.getItem(key)); if(kept&&kept.marks.length===marks.length){ at=kept.at; marks=kept.marks; } }catch{}
          $("end").hidden=true;
        }
        async function ask(path){
          if(ended)return;
          try{
            const r=await fetch(path,{method:path==="state"?"GET":"POST"});
            if(!r.ok)throw 0;
            const s=await r.json();
            at=s.at; marks=s.marks; ended=s.ended;
            $("lost").textContent=ended?"The line check has ended.":"";
          }catch{ $("lost").textContent="No word from the line check: is it still running?"; }
          show();
        }
        function mark(i,m){ if(live)return ask("mark?step="+i+"&mark="+m); marks[i]=m; if(i===at&&m!=="open")at++; keep(); }
        function go(i){ i=Math.max(0,Math.min(data.steps.length,i)); if(live)return ask("go?step="+i); at=i; keep(); }
        function keep(){ try{ localStorage.setItem(key,JSON.stringify({at,marks})); }catch{} show(); }
        function time(i){ const t=Math.round(i*data.hold); return Math.floor(t/60)+":"+String(t%60).padStart(2,"0"); }
        function named(s){ return (s.number?s.number+"  ":"")+s.name; }
        data.steps.forEach((s,i)=>{
          const li=document.createElement("li"), b=document.createElement("button"), m=document.createElement("span");
          b.textContent=(live?"":time(i)+"  ")+named(s)+"  "+s.patch; b.onclick=()=>go(i); m.className="mark"; li.append(b,m); list.append(li);
        });
        function show(){
          const s=data.steps[at], of=m=>marks.filter(x=>x===m).length;
          $("where").textContent=s?(at+1)+" of "+data.steps.length+(live?"":", at "+time(at))+(s.position?", "+s.position:""):"";
          $("name").textContent=s?named(s):"All are through"; $("what").textContent=s?s.profile+", "+s.patch:"";
          $("yes").disabled=$("no").disabled=!s||ended;
          $("sum").textContent=of("answered")+" lit, "+of("noAnswer")+" did not, "+of("open")+" open";
          [...list.children].forEach((li,i)=>{
            li.toggleAttribute("aria-current",i===at); li.lastChild.textContent=words[marks[i]]; li.lastChild.className="mark "+marks[i];
          });
          list.children[at]?.scrollIntoView({block:"nearest"});
        }
        $("yes").onclick=()=>mark(at,"answered"); $("no").onclick=()=>mark(at,"noAnswer"); $("back").onclick=()=>go(at-1); $("next").onclick=()=>go(at+1);
        $("end").onclick=()=>{ if(confirm("End the line check? Nothing is sent after it."))ask("end"); };
        $("left").textContent=data.notLit.length?"Not lit: "+data.notLit.join("; "):"";
        show(); if(live){ ask("state"); setInterval(()=>ask("state"),700); }
        </script></body></html>

        """;
}
