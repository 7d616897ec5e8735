using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using StageView.Show;
using StageView.Show.LineCheck;

namespace StageView.Live.Server;

/// <summary>Serves the page of a live line check, to who knows its link: a key of 128 bits stands in the path.</summary>
public sealed class LineCheckServer(string page, LineSheet sheet) : IAsyncDisposable
{
    private readonly string _key = "/" + Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)) + "/";
    private WebApplication? _app;

    /// <summary>The page's link, once it is served.</summary>
    public Uri Link { get; private set; } = new("http://127.0.0.1/");

    /// <exception cref="StopException">The port is taken, or the address isn't one of this machine's.</exception>
    public async Task Start(IPAddress address, int port)
    {
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.Services.AddRouting();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelCore().ConfigureKestrel(k =>
        {
            k.AddServerHeader = false;
            k.Listen(address, port);
            k.Limits.MaxConcurrentConnections = 16;
            k.Limits.MaxRequestBodySize = 1024;
        });
        _app = builder.Build();
        _app.Run(Handle);
        Link = new Uri(await PageHost.Start(_app, address, port).ConfigureAwait(false), _key);
    }

    public async ValueTask DisposeAsync() => await PageHost.Stop(_app).ConfigureAwait(false);

    private async Task Handle(HttpContext context)
    {
        var (request, response) = (context.Request, context.Response);
        var path = request.Path.Value ?? "";
        response.Headers.CacheControl = "no-store";
        if (!path.StartsWith(_key, StringComparison.Ordinal))
        {
            response.StatusCode = StatusCodes.Status404NotFound;
            return;
        }

        var what = path[_key.Length..];
        if (what.Length == 0 && HttpMethods.IsGet(request.Method))
        {
            response.ContentType = "text/html; charset=utf-8";
            await response.WriteAsync(page).ConfigureAwait(false);
            return;
        }

        if (what != "state" && !HttpMethods.IsPost(request.Method))
        {
            response.StatusCode = StatusCodes.Status405MethodNotAllowed;
            return;
        }

        if (!Do(what, request.Query))
        {
            response.StatusCode = StatusCodes.Status400BadRequest;
            return;
        }

        await response.WriteAsJsonAsync(new { at = sheet.At, marks = sheet.Marks.Select(Word), ended = sheet.Ended }).ConfigureAwait(false);
    }

    private bool Do(string what, IQueryCollection query)
    {
        switch (what)
        {
            case "state":
                return true;
            case "end":
                sheet.End();
                return true;
            case "go":
                return int.TryParse(query["step"], NumberStyles.None, CultureInfo.InvariantCulture, out var to) && sheet.Go(to);
            case "mark":
                return int.TryParse(query["step"], NumberStyles.None, CultureInfo.InvariantCulture, out var step)
                    && Enum.GetValues<LineMark>().Where(m => Word(m) == query["mark"]).ToList() is [var mark] && sheet.Mark(step, mark);
            default:
                return false;
        }
    }

    private static string Word(LineMark mark) => mark switch { LineMark.Answered => "answered", LineMark.NoAnswer => "noAnswer", _ => "open" };
}
