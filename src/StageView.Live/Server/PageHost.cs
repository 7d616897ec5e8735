using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Connections;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Extensions.DependencyInjection;

namespace StageView.Live.Server;

/// <summary>How a page's server starts and stops.</summary>
internal static class PageHost
{
    /// <returns>Its address.</returns>
    /// <exception cref="StageView.Show.StopException">The port is taken, or the address isn't one of this machine's.</exception>
    public static async Task<Uri> Start(WebApplication app, IPAddress address, int port)
    {
        try
        {
            await app.StartAsync().ConfigureAwait(false);
        }
        catch (IOException e) when (e.InnerException is AddressInUseException)
        {
            throw Show.StopException.Machine($"port {port} of {address} is in use by another program; name a free one with --port, or 0 for any");
        }
        catch (SocketException e)
        {
            throw Show.StopException.Machine(
                $"the page can't be served at {address} port {port}: {e.Message}; --serve takes an address of this machine, --port a free port above 1023");
        }

        return new Uri(app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First());
    }

    /// <summary>Ends it within three seconds, whoever still looks.</summary>
    public static async Task Stop(WebApplication? app)
    {
        if (app is not null)
        {
            using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(3));
            await app.StopAsync(patience.Token).ConfigureAwait(false);
            await app.DisposeAsync().ConfigureAwait(false);
        }
    }
}
